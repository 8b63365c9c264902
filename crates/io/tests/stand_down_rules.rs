//! The rules of stand-downs as data, held against their sources by cases worked by hand on a
//! calendar.
//!
//! Sources: Amateur Boxing Scotland, technical and competition rules, 2.3.6 (four weeks; the text of
//! the international rule 20: three months after the second within three months, a year after the
//! third within twelve); World Kickboxing Organisation, page of medical suspensions; Wisconsin
//! administrative code SPS 192.31 (2); UK concussion guidelines for grassroots sport, 2023, updated
//! 2024; Association of Professional Boxing Commissions, stoppage regulation 3-8.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic")]

use cornerwork_core::camp::stand_down::Stoppage;
use cornerwork_core::camp::stand_down_rules::{Earlier, StandDown, StandDownRules};
use cornerwork_io::catalogue::safety_rules::SafetyRules;
use jiff::ToSpan;
use jiff::civil::{Date, date};

const KICKBOXING: &str = "World Kickboxing Organisation";
const AMATEUR: &str = "amateur (international text in a Scottish book)";
const GRASSROOTS: &str = "any sport, grassroots, United Kingdom";
const HEAD: Stoppage = Stoppage::StoppedHeadBlows;
const KNOCKED_OUT: Stoppage = Stoppage::KnockedOut;

fn rules() -> StandDownRules {
    SafetyRules::built_in().unwrap().stand_downs
}

/// Day so many of a count that begins with 0 on 1 March 2026.
fn day(number: i32) -> Date {
    date(2026, 3, 1).saturating_add(number.days())
}

/// An earlier stoppage of whose suspension nothing is on record.
fn was(on: Date, kind: Stoppage) -> Earlier {
    Earlier { on, kind, until: on }
}

fn stand_down(body: &str, kind: Stoppage, on: Date, earlier: &[Earlier]) -> StandDown {
    rules().stand_down(body, kind, on, earlier).unwrap()
}

/// Days out by a body after stoppages on these days of the count, the last of them now.
fn days_out(body: &str, kind: Stoppage, days: &[i32]) -> i32 {
    let (now, before) = days.split_last().unwrap();
    let earlier: Vec<Earlier> = before.iter().map(|&number| was(day(number), kind)).collect();
    let found = stand_down(body, kind, day(*now), &earlier);
    assert_eq!(found.open, None, "{body}");
    (found.earliest - day(*now)).get_days()
}

#[test]
fn kickboxing_single_endings() {
    for (kind, days) in [
        (HEAD, 30),
        (KNOCKED_OUT, 30),
        (Stoppage::UnconsciousUnderMinute, 28),
        (Stoppage::UnconsciousOverMinute, 45),
    ] {
        assert_eq!(days_out(KICKBOXING, kind, &[0]), days, "{kind:?}");
    }
}

// "During a period of 90 days after a boxer's suspension": 30 days out end on day 30, so the window
// closes on day 120. Over a minute unconscious: 45 days, the window closes on day 135.
#[test]
fn kickboxing_counts_a_second_from_the_end_of_the_suspension() {
    assert_eq!(days_out(KICKBOXING, KNOCKED_OUT, &[0, 100]), 90);
    assert_eq!(days_out(KICKBOXING, KNOCKED_OUT, &[0, 120]), 90);
    assert_eq!(days_out(KICKBOXING, KNOCKED_OUT, &[0, 121]), 30);
    assert_eq!(days_out(KICKBOXING, Stoppage::UnconsciousOverMinute, &[0, 135]), 90);
    assert_eq!(days_out(KICKBOXING, Stoppage::UnconsciousOverMinute, &[0, 136]), 45);
}

// "If the first suspension was 90 days, the repeat suspension will be 180 days. If the first
// suspension was 180 days, the new suspension will be 365 days." Out for 90 days until day 90, the
// window closes on day 180; out for 180, on day 270.
#[test]
fn kickboxing_repeats_grow_with_the_suspension_before() {
    let out_for = |days| Earlier { on: day(0), kind: KNOCKED_OUT, until: day(days) };
    let after = |earlier, on| {
        let found = stand_down(KICKBOXING, KNOCKED_OUT, day(on), &[earlier]);
        (found.earliest - day(on)).get_days()
    };
    assert_eq!(after(out_for(90), 180), 180);
    assert_eq!(after(out_for(90), 181), 30);
    assert_eq!(after(out_for(180), 270), 365);
    assert_eq!(after(out_for(89), 100), 90);
}

// "If during a period of 365 days the boxer suffers a third": 365 days, even where each came
// after the window of the one before. Days 0, 140, 280: apart by more than 30 + 90.
#[test]
fn kickboxing_a_third_within_a_year_is_a_year() {
    assert_eq!(days_out(KICKBOXING, KNOCKED_OUT, &[0, 140, 280]), 365);
    assert_eq!(days_out(KICKBOXING, KNOCKED_OUT, &[0, 240, 365]), 365);
    assert_eq!(days_out(KICKBOXING, KNOCKED_OUT, &[0, 240, 366]), 30);
}

#[test]
fn the_amateur_text_counts_from_the_stoppage() {
    assert_eq!(days_out(AMATEUR, HEAD, &[0]), 28);
    // 1 March to 1 June is three months; the second on 1 June: three months, to 1 September.
    let second = stand_down(AMATEUR, HEAD, date(2026, 6, 1), &[was(date(2026, 3, 1), HEAD)]);
    assert_eq!((second.earliest, second.open), (date(2026, 9, 1), None));
    let late = stand_down(AMATEUR, HEAD, date(2026, 6, 2), &[was(date(2026, 3, 1), HEAD)]);
    assert_eq!(late.earliest, date(2026, 6, 30));
    let before = [was(date(2026, 3, 1), HEAD), was(date(2026, 8, 1), KNOCKED_OUT)];
    let third = stand_down(AMATEUR, HEAD, date(2027, 3, 1), &before);
    assert_eq!(third.earliest, date(2028, 3, 1));
}

// The injury is day 0; no competition before day 21. Head contact not before 14 days without
// symptoms at rest, which no date can say: it stands in the way back.
#[test]
fn the_grassroots_guideline_has_day_21_and_the_fourteen_days_without_symptoms() {
    assert_eq!(days_out(GRASSROOTS, Stoppage::HurtInTraining, &[0]), 21);
    let rules = rules();
    let way_back = &rules.facts(GRASSROOTS).unwrap().way_back;
    for words in ["24 to 48 hours", "14 days without symptoms at rest", "day 21", "28 days"] {
        assert!(way_back.iter().any(|step| step.contains(words)), "{words}");
    }
}

// SPS 192.31 (2): 60 days after a knock-out, 30 after a technical one, six months after a second
// within three months; (c), the third within twelve, was cut off. So these are bounds.
#[test]
fn rules_that_were_cut_off_or_remembered_give_no_date() {
    let on = date(2026, 9, 12);
    for (body, kind, earlier, least) in [
        ("Wisconsin", KNOCKED_OUT, vec![], date(2026, 11, 11)),
        ("Wisconsin", HEAD, vec![], date(2026, 10, 12)),
        ("Wisconsin", KNOCKED_OUT, vec![was(date(2026, 7, 1), KNOCKED_OUT)], date(2027, 3, 12)),
        ("amateur (recent international practice)", HEAD, vec![], date(2026, 10, 12)),
        ("professional, United Kingdom", KNOCKED_OUT, vec![], date(2026, 10, 27)),
        ("Association of Professional Boxing Commissions", HEAD, vec![], date(2026, 10, 10)),
    ] {
        let found = stand_down(body, kind, on, &earlier);
        assert_eq!(found.earliest, least, "{body}");
        assert!(found.words(body).starts_with(&format!("ask {body}: at least ")), "{body}");
    }
}

#[test]
fn an_ending_no_rule_is_about_keeps_out_without_a_date() {
    let found = stand_down(KICKBOXING, Stoppage::Stopped, day(0), &[]);
    assert_eq!(found.earliest, day(0));
    assert!(found.rule.is_none() && found.open.is_some());
}

#[test]
fn every_rule_needs_a_doctor() {
    assert!(rules().rules.iter().all(|rule| rule.needs_clearance));
}
