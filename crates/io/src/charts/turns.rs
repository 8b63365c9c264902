//! The turns as a picture: a row a station, a lane for each athlete of a group, a bar for each set.
//!
//! Rounds that do not fit side by side with their names readable go on below, like words of a
//! line, all to the same scale: a telephone shows a round under a round.

use cornerwork_core::estimate::Interval;
use cornerwork_core::report::figure::{Effort, Event, Turn, TurnRound, Turns};

use super::Layout;
use super::parts::{EDGE, Flag, Flags, heading, ruler_below, ruler_height, tick_count, upright};
use super::scale::{Ruler, Scale};
use super::sheet::{Anchor, Outline, Sheet, Stroke, Type};
use super::theme::{Theme, Tone};

/// The shortest set is drawn no narrower than this, where the width allows.
const NARROWEST_PX: f64 = 6.0;
/// How much time after the last round is shown for the sake of a moment, as a share of the whole.
const AFTERWARDS: f64 = 0.15;
/// Lines the name of a station may take.
const MOST_LINES: usize = 3;
/// Room between two stations.
const BETWEEN_PX: f64 = 10.0;

pub(super) fn svg(turns: &Turns, layout: &Layout, theme: Theme) -> String {
    let mut sheet = Sheet::new(layout, theme);
    let left = EDGE + names_width(&sheet, turns, layout.width);
    let right = layout.width - EDGE - 1.0;
    let rounds = one_after_another(&turns.rounds);
    let bands = bands(&sheet, &rounds, right - left);
    let end = end(turns, &rounds);
    let ends = bands.iter().map(|band| last(band, end) - first(band));
    let longest = ends.fold(f64::MIN_POSITIVE, f64::max);
    let mut y = heading(&mut sheet, layout, &turns.title);
    for (place, band) in bands.iter().enumerate() {
        let from = first(band);
        let shown = Interval { low: from, high: from + longest };
        let next = bands.get(place + 1).map_or(f64::INFINITY, |band| first(band));
        let x = Scale::new(shown, left, right);
        let moments = Interval { low: from, high: shown.high.min(next) };
        y = Band { turns, rounds: band, x, moments, left, right }.draw(&mut sheet, y) + BETWEEN_PX;
    }
    y = axis_and_key(&mut sheet, turns, y, right);
    sheet.finish(&turns.title, &turns.description, y + 8.0)
}

/// The rounds that can be drawn: with a length, and none begun before the one before it ended.
fn one_after_another(rounds: &[TurnRound]) -> Vec<&TurnRound> {
    let mut free_from = f64::NEG_INFINITY;
    let drawable = |round: &&TurnRound| {
        let Interval { low, high } = round.over;
        let fits = low.is_finite() && high.is_finite() && low < high && low >= free_from;
        free_from = if fits { high } else { free_from };
        fits
    };
    rounds.iter().filter(drawable).collect()
}

/// As many rounds side by side as leave each its names and its shortest set, shared out evenly.
fn bands<'a>(sheet: &Sheet, rounds: &[&'a TurnRound], width: f64) -> Vec<Vec<&'a TurnRound>> {
    let turns = || rounds.iter().flat_map(|round| round.groups.iter().flatten());
    let widest = turns().map(|turn| label_width(sheet, turn)).fold(0.0, f64::max);
    let longest = rounds.iter().map(|round| length(round.over)).fold(0.0, f64::max);
    let efforts = turns().flat_map(|turn| &turn.efforts).map(|effort| length(effort.over));
    let shortest = efforts.filter(|length| *length > 0.0).fold(longest, f64::min);
    let needed =
        (widest + sheet.text()).max(longest / shortest.max(f64::MIN_POSITIVE) * NARROWEST_PX);
    let beside = ((width / needed.max(1.0)) as usize).max(1);
    let count = rounds.len().div_ceil(beside).max(1);
    let each = rounds.len().div_ceil(count).max(1);
    rounds.chunks(each).map(<[_]>::to_vec).collect()
}

fn length(over: Interval<f64>) -> f64 {
    over.high - over.low
}

fn first(band: &[&TurnRound]) -> f64 {
    band.first().map_or(0.0, |round| round.over.low)
}

/// The end of a band; that of the last one makes room for what comes soon after.
fn last(band: &[&TurnRound], end: Interval<f64>) -> f64 {
    let high = band.last().map_or(1.0, |round| round.over.high);
    if high >= end.low { end.high } else { high }
}

/// The end of the last round, and that of what is shown.
fn end(turns: &Turns, rounds: &[&TurnRound]) -> Interval<f64> {
    let low = rounds.last().map_or(1.0, |round| round.over.high);
    let latest = low + (low - first(rounds)) * AFTERWARDS;
    let moments = turns.planned_end.iter().chain(&turns.moments).map(|moment| moment.at);
    let high = moments.filter(|at| *at <= latest).fold(low, f64::max);
    Interval { low, high }
}

fn lane_height(sheet: &Sheet) -> f64 {
    (sheet.text() * 2.45).round()
}

fn names_width(sheet: &Sheet, turns: &Turns, width: f64) -> f64 {
    let names = turns.stations.iter().map(|station| sheet.width_of(&station.name, true));
    let notes = turns.stations.iter().map(|station| sheet.width_of(&station.note, false));
    (names.chain(notes).fold(0.0, f64::max) + sheet.text()).min(width * 0.3)
}

fn label_width(sheet: &Sheet, turn: &Turn) -> f64 {
    sheet.width_of(&turn.name, true) + space(sheet) + sheet.width_of(&turn.with, false)
}

fn space(sheet: &Sheet) -> f64 {
    sheet.text() * 0.4
}

/// A bold name on one line, or parted between words on as many as it may take.
fn in_lines(sheet: &Sheet, name: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in name.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        let fits = |line: &String| lines.len() == MOST_LINES || sheet.width_of(line, true) <= room;
        match longer.filter(fits) {
            Some(longer) => {
                lines.pop();
                lines.push(longer);
            }
            None => lines.push(word.to_owned()),
        }
    }
    let cut = lines.iter().map(|line| sheet.fitted(line, true, room));
    cut.filter(|line| !line.is_empty()).collect()
}

/// Rounds side by side.
struct Band<'a> {
    turns: &'a Turns,
    rounds: &'a [&'a TurnRound],
    x: Scale,
    /// The time whose moments are shown here.
    moments: Interval<f64>,
    left: f64,
    right: f64,
}

impl Band<'_> {
    /// Draws from a height down; where it ends.
    fn draw(&self, sheet: &mut Sheet, from: f64) -> f64 {
        let flags = Flags::seated(sheet, self.flags(), self.left, self.right);
        let names = from + flags.height(sheet);
        let top = names + sheet.row() + 2.0;
        let foot = top + self.heights(sheet).iter().sum::<f64>();
        for round in self.rounds {
            let at = self.x.at(round.over.low);
            sheet.line((at, names), (at, foot), Stroke::hair(Tone::Hairline));
        }
        flags.draw(sheet, names, foot);
        self.name_rounds(sheet, names);
        let mut y = top;
        for (place, height) in self.heights(sheet).into_iter().enumerate() {
            self.station(sheet, place, y);
            y += height;
            if place + 1 < self.turns.stations.len() {
                let end = y - BETWEEN_PX / 2.0;
                sheet.line((EDGE, end), (self.right, end), Stroke::hair(Tone::Hairline));
            }
        }
        sheet.line((self.left, foot), (self.right, foot), Stroke::hair(Tone::Ink));
        let ruler = Ruler::over(Some(self.x.domain), tick_count(sheet, self.right - self.left));
        let ruler = ruler.trimmed(self.x.domain);
        ruler_below(sheet, &ruler, &self.x, foot, (self.left, self.right));
        foot + ruler_height(sheet)
    }

    /// Room for the most athletes any group here has, and for the words beside them.
    fn heights(&self, sheet: &Sheet) -> Vec<f64> {
        let lanes = |place: usize| {
            let groups = self.rounds.iter().filter_map(|round| round.groups.get(place));
            groups.map(Vec::len).max().unwrap_or(0) as f64
        };
        let words = |place: usize| self.words(sheet, place).len() as f64;
        let height = |place: usize| {
            (lanes(place) * lane_height(sheet)).max(words(place) * sheet.row()) + BETWEEN_PX
        };
        (0..self.turns.stations.len()).map(height).collect()
    }

    /// The lines beside a station: its name, then the note.
    fn words(&self, sheet: &Sheet, place: usize) -> Vec<(String, Type)> {
        let station = &self.turns.stations[place];
        let room = self.left - EDGE - sheet.text() * 0.5;
        let name = in_lines(sheet, &station.name, room).into_iter();
        let note = in_lines(sheet, &station.note, room).into_iter();
        name.map(|line| (line, Type::bold(Tone::Ink)))
            .chain(note.map(|line| (line, Type::plain(Tone::Other))))
            .collect()
    }

    fn flags(&self) -> Vec<Flag> {
        let here =
            |moment: &&Event| self.moments.low <= moment.at && moment.at <= self.moments.high;
        let flag = |moment: &Event, set: Type, pole: Stroke| Flag {
            x: self.x.at(moment.at),
            text: moment.name.clone(),
            set,
            pole,
        };
        let late = self.turns.rounds.iter().any(|round| {
            let turns = round.groups.iter().flatten();
            turns.flat_map(|turn| &turn.efforts).any(|effort| self.is_late(effort))
        });
        let tone = if late { Tone::Accent } else { Tone::Ink };
        let planned = self.turns.planned_end.iter().filter(here);
        let planned = planned.map(|end| flag(end, Type::bold(tone), Stroke::of(tone, 1.5)));
        let others = self.turns.moments.iter().filter(here).map(|moment| {
            flag(moment, Type::plain(Tone::Ink), Stroke::hair(Tone::Ink).dashed("4 3"))
        });
        planned.chain(others).collect()
    }

    fn is_late(&self, effort: &Effort) -> bool {
        self.turns.planned_end.as_ref().is_some_and(|end| effort.over.high > end.at)
    }

    fn name_rounds(&self, sheet: &mut Sheet, top: f64) {
        for round in self.rounds {
            let from = self.x.at(round.over.low) + 3.0;
            let room = self.x.at(round.over.high) - from - 3.0;
            let name = sheet.fitted(&round.name, false, room);
            let at = (from, top + sheet.text());
            sheet.write(&name, at, Anchor::Start, Type::plain(Tone::Other).edged());
        }
    }

    fn station(&self, sheet: &mut Sheet, place: usize, top: f64) {
        for (line, (text, set)) in self.words(sheet, place).into_iter().enumerate() {
            let baseline = (line as f64).mul_add(sheet.row(), top + sheet.text());
            sheet.write(&text, (EDGE, baseline), Anchor::Start, set);
        }
        for round in self.rounds {
            let group = round.groups.get(place).into_iter().flatten();
            for (lane, turn) in group.enumerate() {
                let y = (lane as f64).mul_add(lane_height(sheet), top);
                self.label(sheet, round, turn, y);
                self.efforts(sheet, turn, sheet.text().mul_add(1.7, y));
            }
        }
    }

    /// Name and load over the bars, from the left edge of the round.
    fn label(&self, sheet: &mut Sheet, round: &TurnRound, turn: &Turn, top: f64) {
        let from = self.x.at(round.over.low) + 3.0;
        let to = self.x.at(round.over.high) - 3.0;
        let baseline = top + sheet.text();
        let name = sheet.fitted(&turn.name, true, to - from);
        sheet.write(&name, (from, baseline), Anchor::Start, Type::bold(Tone::Ink).edged());
        let after = from + sheet.width_of(&name, true) + space(sheet);
        let with = sheet.fitted(&turn.with, false, to - after);
        sheet.write(&with, (after, baseline), Anchor::Start, Type::plain(Tone::Ink).edged());
    }

    /// A bar for each set on a hairline from the first to the last; a diamond before a set that
    /// begins with another load.
    fn efforts(&self, sheet: &mut Sheet, turn: &Turn, middle: f64) {
        let half = sheet.text() * 0.25;
        let drawn = |effort: &Effort| Some((*effort, self.x.stretch(effort.over)?));
        let drawn: Vec<(Effort, (f64, f64))> = turn.efforts.iter().filter_map(drawn).collect();
        if let (Some((_, (from, _))), Some((_, (_, to)))) = (drawn.first(), drawn.last()) {
            sheet.line((*from, middle), (*to, middle), Stroke::hair(Tone::Other));
        }
        for (effort, (from, to)) in drawn {
            let tone = if self.is_late(&effort) { Tone::Accent } else { Tone::Ink };
            sheet.rect(upright(from, to, middle - half, middle + half), tone);
            if effort.change {
                let reach = sheet.text() * 0.36;
                changed(sheet, (from - reach - 0.5, middle), reach);
            }
        }
    }
}

/// The mark of a load that is changed.
fn changed(sheet: &mut Sheet, (x, y): (f64, f64), reach: f64) {
    let ends = [(x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)];
    let mut outline = Outline::through(ends);
    outline.close();
    sheet.fill(&outline, Tone::Accent);
    sheet.path(&outline, Stroke::hair(Tone::Paper));
}

/// What the axis is, and what the marks mean.
fn axis_and_key(sheet: &mut Sheet, turns: &Turns, top: f64, right: f64) -> f64 {
    let text = sheet.text();
    let axis = sheet.fitted(&turns.time.label(), false, right - EDGE);
    let baseline = top + text;
    sheet.write(&axis, (right, baseline), Anchor::End, Type::plain(Tone::Other));
    let baseline = baseline + sheet.row();
    let middle = baseline - text * 0.3;
    let set = "a set, then rest";
    sheet.rect(
        upright(EDGE, EDGE + text * 1.4, middle - text * 0.25, middle + text * 0.25),
        Tone::Ink,
    );
    let at = EDGE + text * 1.8;
    sheet.write(set, (at, baseline), Anchor::Start, Type::plain(Tone::Other));
    if turns.has_changes() {
        let at = at + sheet.width_of(set, false) + text * 1.4;
        changed(sheet, (at, middle), text * 0.36);
        let words = (at + text * 0.8, baseline);
        sheet.write("load changed first", words, Anchor::Start, Type::plain(Tone::Other));
    }
    baseline
}
