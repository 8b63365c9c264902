//! Hill and slope as characters, for a terminal: the same axes, units and words.

use cornerwork_core::estimate::{Estimate, Interval};
use cornerwork_core::report::figure::{Axis, CurvePoint, Hill, Point, PostKind, Slope};

use super::plane::{heights, loads};
use super::scale::{Ruler, Scale};

/// The room a terminal gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Terminal {
    /// Characters a line; fewer than 30 are taken as 30.
    pub columns: usize,
    /// Lines of the plot itself; fewer than 6 are taken as 6.
    pub rows: usize,
    /// Plain ASCII, for terminals and files without Unicode.
    pub ascii: bool,
}

impl Default for Terminal {
    fn default() -> Self {
        Self { columns: 72, rows: 18, ascii: false }
    }
}

/// The characters of one drawing.
struct Signs {
    point: char,
    aside: char,
    post: char,
    next: char,
    level: char,
    ground: char,
    tick: char,
    side: char,
    side_tick: char,
    band: char,
}

const UNICODE: Signs = Signs {
    point: '●',
    aside: '×',
    post: '┃',
    next: '┊',
    level: '╌',
    ground: '─',
    tick: '┬',
    side: '│',
    side_tick: '┤',
    band: '▀',
};

const ASCII: Signs = Signs {
    point: 'o',
    aside: 'x',
    post: '|',
    next: ':',
    level: '-',
    ground: '-',
    tick: '+',
    side: '|',
    side_tick: '+',
    band: '=',
};

/// The hill: measured points over the curve, posts, and the flat top under the ground line.
pub fn hill(hill: &Hill, terminal: &Terminal) -> String {
    let posts = hill.posts.iter().map(|post| post.at);
    let tops = hill.flat_top.iter().flat_map(|top| [top.loads.low, top.loads.high]);
    let across = loads(&hill.points, &hill.curve, posts.chain(tops));
    let up = heights(&hill.points, &hill.curve, hill.tested(), []);
    let mut plot = Plot::new(terminal, &hill.across, &hill.up, across, up);
    plot.curve(&hill.curve, hill.tested());
    let mut key = vec![format!("{} measured", plot.signs.point)];
    for post in hill.posts.iter().filter(|post| post.at.is_finite()) {
        let sign = match post.kind {
            PostKind::Today => plot.signs.post,
            PostKind::Next => plot.signs.next,
        };
        plot.upright(post.at, f64::INFINITY, sign);
        key.push(format!("{sign} {} {}", post.name, hill.across.value(post.at)));
    }
    plot.points(&hill.points);
    if let Some(top) = &hill.flat_top {
        plot.underline(top.loads);
        let range = hill.across.range(top.loads.low, top.loads.high);
        key.push(format!("{} {range} {}", plot.signs.band, top.meaning()));
    }
    plot.finish(&hill.title, &key)
}

/// The slope: measured points over the line, the target level, and the load it gives.
pub fn slope(slope: &Slope, terminal: &Terminal) -> String {
    let target = slope.target.as_ref();
    let load = target.and_then(|target| target.load).filter(|load| load.value.is_finite());
    let across = loads(&slope.points, &slope.line, load.iter().map(|load| load.value));
    let asked = target.iter().map(|target| target.at);
    let up = heights(&slope.points, &slope.line, slope.tested(), asked);
    let mut plot = Plot::new(terminal, &slope.across, &slope.up, across, up);
    let mut key = vec![format!("{} measured", plot.signs.point)];
    if let Some(target) = target.filter(|target| target.at.is_finite()) {
        plot.level(target.at);
        key.push(format!("{} {} {}", plot.signs.level, target.name, slope.up.value(target.at)));
    }
    plot.curve(&slope.line, slope.tested());
    if let (Some(load), Some(target)) = (load, target) {
        plot.upright(load.value, target.at, plot.signs.post);
        key.push(load_in_words(&mut plot, &slope.across, &load));
    }
    plot.points(&slope.points);
    plot.finish(&slope.title, &key)
}

fn load_in_words(plot: &mut Plot, axis: &Axis, load: &Estimate<f64>) -> String {
    let sign = plot.signs.post;
    let Interval { low, high } = load.interval;
    if low.is_finite() && high.is_finite() {
        plot.underline(load.interval);
        format!("{sign} {} ({})", axis.value(load.value), axis.range(low, high))
    } else {
        format!("{sign} {}", axis.value(load.value))
    }
}

/// A grid of characters, with two by four finer dots in each for the curve.
struct Plot<'a> {
    signs: &'static Signs,
    ascii: bool,
    across: &'a Axis,
    up: &'a Axis,
    x_ruler: Ruler,
    y_ruler: Ruler,
    x: Scale,
    y: Scale,
    gutter: usize,
    dots: Vec<Vec<u8>>,
    marks: Vec<Vec<Option<char>>>,
    under: Vec<char>,
}

impl<'a> Plot<'a> {
    fn new(
        terminal: &Terminal,
        across: &'a Axis,
        up: &'a Axis,
        loads: Option<Interval<f64>>,
        heights: Option<Interval<f64>>,
    ) -> Self {
        let (columns, rows) = (terminal.columns.max(30), terminal.rows.max(6));
        let y_ruler = Ruler::over(up.widened(heights), (rows / 4).max(2));
        let numbers = y_ruler.ticks.iter().map(|tick| y_ruler.label(*tick).chars().count());
        let gutter = numbers.max().unwrap_or(0) + 2;
        let width = columns.saturating_sub(gutter).max(10);
        let x_ruler = Ruler::over(loads, (width / 10).max(2)).dated(across);
        Self {
            signs: if terminal.ascii { &ASCII } else { &UNICODE },
            ascii: terminal.ascii,
            across,
            up,
            x: Scale::new(x_ruler.domain, 0.0, (width - 1) as f64),
            y: Scale::new(y_ruler.domain, (rows - 1) as f64, 0.0),
            x_ruler,
            y_ruler,
            gutter,
            dots: vec![vec![0; width]; rows],
            marks: vec![vec![None; width]; rows],
            under: vec![' '; width],
        }
    }

    fn width(&self) -> usize {
        self.under.len()
    }

    fn column(&self, across: f64) -> Option<usize> {
        index(self.x.at(across).round(), self.width())
    }

    fn mark(&mut self, across: f64, up: f64, sign: char) {
        let row = index(self.y.at(up).round(), self.marks.len());
        if let (Some(column), Some(row)) = (self.column(across), row) {
            self.marks[row][column] = Some(sign);
        }
    }

    fn points(&mut self, points: &[Point]) {
        for point in points.iter().filter(|point| point.is_finite()) {
            let sign = if point.counts { self.signs.point } else { self.signs.aside };
            self.mark(point.across, point.up, sign);
        }
    }

    /// From the ground up to a height.
    fn upright(&mut self, across: f64, up: f64, sign: char) {
        let top = self.y.clamped(up).round();
        let Some(column) = self.column(across) else { return };
        for (row, line) in self.marks.iter_mut().enumerate() {
            if row as f64 >= top {
                line[column] = Some(sign);
            }
        }
    }

    fn level(&mut self, up: f64) {
        let sign = self.signs.level;
        if let Some(row) = index(self.y.at(up).round(), self.marks.len()) {
            self.marks[row].iter_mut().step_by(2).for_each(|cell| *cell = Some(sign));
        }
    }

    fn underline(&mut self, loads: Interval<f64>) {
        let Some((from, to)) = self.x.stretch(loads) else { return };
        let (from, to) = (from.round(), to.round());
        let sign = self.signs.band;
        for (column, cell) in self.under.iter_mut().enumerate() {
            if (from..=to).contains(&(column as f64)) {
                *cell = sign;
            }
        }
    }

    /// The curve at four dots a character; outside the tested loads every other dot is left out.
    fn curve(&mut self, curve: &[CurvePoint], tested: Option<Interval<f64>>) {
        for pair in curve.windows(2) {
            let places = pair.iter().map(|point| (self.x.at(point.across), self.y.at(point.up)));
            let places: Vec<(f64, f64)> = places.collect();
            let ((x0, y0), (x1, y1)) = (places[0], places[1]);
            let steps = ((x1 - x0).abs() * 2.0).max((y1 - y0).abs() * 4.0).ceil();
            if !steps.is_finite() {
                continue;
            }
            let steps = steps.clamp(1.0, 10_000.0);
            for step in 0..=steps as u32 {
                let share = f64::from(step) / steps;
                let load = share.mul_add(pair[1].across - pair[0].across, pair[0].across);
                let known = tested.is_none_or(|tested| tested.contains(load));
                self.dot(share.mul_add(x1 - x0, x0), share.mul_add(y1 - y0, y0), known);
            }
        }
    }

    fn dot(&mut self, x: f64, y: f64, known: bool) {
        let (fine_x, fine_y) = ((x + 0.5) * 2.0, (y + 0.5) * 4.0);
        let columns = index(fine_x.floor(), self.width() * 2);
        let (Some(fine_x), Some(fine_y)) = (columns, index(fine_y.floor(), self.dots.len() * 4))
        else {
            return;
        };
        if known || fine_x % 4 == 0 {
            self.dots[fine_y / 4][fine_x / 2] |= braille(fine_x % 2, fine_y % 4);
        }
    }

    fn cell(&self, row: usize, column: usize) -> char {
        let dots = self.dots[row][column];
        match self.marks[row][column] {
            Some(mark) => mark,
            None if dots == 0 => ' ',
            None if self.ascii => '.',
            None => char::from_u32(0x2800 + u32::from(dots)).unwrap_or('.'),
        }
    }

    fn finish(self, title: &str, key: &[String]) -> String {
        let mut lines = vec![title.to_owned(), self.up.label()];
        let tick_at = |row: usize| {
            let on_row = |tick: &&f64| self.y.at(**tick).round() == row as f64;
            self.y_ruler.ticks.iter().find(on_row)
        };
        for row in 0..self.marks.len() {
            let (number, side) = match tick_at(row) {
                Some(tick) => (self.y_ruler.label(*tick), self.signs.side_tick),
                None => (String::new(), self.signs.side),
            };
            let cells: String = (0..self.width()).map(|column| self.cell(row, column)).collect();
            lines.push(format!("{number:>pad$} {side}{cells}", pad = self.gutter - 2));
        }
        lines.extend(self.ground());
        let label = self.across.label();
        lines.push(format!("{label:>pad$}", pad = self.gutter + self.width()));
        lines.extend(wrapped(key, self.gutter + self.width()));
        let lines = lines.iter().map(|line| line.trim_end());
        let text = lines.collect::<Vec<_>>().join("\n") + "\n";
        if self.ascii { plain(&text) } else { text }
    }

    /// The ground line with its ticks, what lies along it, and the numbers.
    fn ground(&self) -> Vec<String> {
        let mut ground = vec![self.signs.ground; self.width()];
        let mut numbers = vec![' '; self.gutter + self.width()];
        let mut free_from = 0;
        for tick in &self.x_ruler.ticks {
            let Some(column) = self.column(*tick) else { continue };
            ground[column] = self.signs.tick;
            let label: Vec<char> = self.x_ruler.label(*tick).chars().collect();
            let middle = self.gutter + column;
            let start = middle.saturating_sub(label.len() / 2).min(numbers.len() - label.len());
            if start >= free_from {
                numbers[start..start + label.len()].copy_from_slice(&label);
                free_from = start + label.len() + 1;
            }
        }
        let text = |cells: &[char]| cells.iter().collect::<String>();
        let corner = if self.ascii { '+' } else { '└' };
        let pad = " ".repeat(self.gutter - 1);
        let mut lines = vec![format!("{pad}{corner}{}", text(&ground))];
        if self.under.iter().any(|cell| *cell != ' ') {
            lines.push(format!("{pad} {}", text(&self.under)));
        }
        lines.push(text(&numbers));
        lines
    }
}

fn index(value: f64, length: usize) -> Option<usize> {
    (value >= 0.0 && value < length as f64).then_some(value as usize)
}

/// The bit of a dot in a braille character, column 0 to 1 and row 0 to 3 (Unicode block U+2800).
const fn braille(column: usize, row: usize) -> u8 {
    match (column, row) {
        (0, 3) => 0x40,
        (_, 3) => 0x80,
        (0, row) => 1 << row,
        (_, row) => 8 << row,
    }
}

/// The key in as few lines as the width allows.
fn wrapped(key: &[String], width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for part in key {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 3 + part.chars().count() <= width => {
                line.push_str("   ");
                line.push_str(part);
            }
            _ => lines.push(part.clone()),
        }
    }
    lines
}

/// The same in ASCII: typographic signs by their plain likes, anything else by a question mark.
fn plain(text: &str) -> String {
    text.chars()
        .map(|letter| match letter {
            '−' | '–' => '-',
            '²' => '2',
            '·' => '.',
            '×' => 'x',
            letter if letter.is_ascii() => letter,
            _ => '?',
        })
        .collect()
}
