//! Labels kept apart: names of moments and stretches in rows beside a scale, and notes inside a
//! plot at the nearest free spot.

/// A rectangle, y downwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rect {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Rect {
    /// Everything within a distance of a point.
    pub(super) fn around(x: f64, y: f64, reach: f64) -> Self {
        Self { left: x - reach, top: y - reach, right: x + reach, bottom: y + reach }
    }
    /// Whether two share any area.
    pub(super) fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
    fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }
}

/// A name that wants a row beside a scale.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wish {
    /// Where on the scale it belongs.
    pub(super) at: f64,
    /// How wide its text is.
    pub(super) width: f64,
    /// How it hangs on its place.
    pub(super) hang: Hang,
}

/// How a name hangs on its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Hang {
    /// Beside the line of a moment, like a flag.
    Beside,
    /// Under a stretch this wide on both sides: centred, or anywhere else along it.
    Under(f64),
}

/// The row and the span a name was given; row 0 is nearest the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Seat {
    pub(super) row: usize,
    pub(super) left: f64,
    pub(super) right: f64,
    /// Where the line that leads to it runs.
    pub(super) at: f64,
}

impl Seat {
    /// Whether the text stands clear of the line it hangs on.
    pub(super) fn is_beside(&self) -> bool {
        self.at <= self.left || self.right <= self.at
    }
    /// Whether the text stands to the left of its line.
    pub(super) fn is_left(&self) -> bool {
        self.right <= self.at
    }
}

/// Room between a text and the line it hangs on.
const BESIDE: f64 = 5.0;
/// Least room between two texts of a row.
const GAP: f64 = 10.0;
/// Rows beyond which a name is left to the table.
const ROWS: usize = 6;

/// Seats names in rows, first come first served, between two ends. No text meets another, and
/// the line that leads to a text crosses none. A name without a seat is left out of the picture.
pub(super) fn seat(wishes: &[Wish], from: f64, to: f64) -> Vec<Option<Seat>> {
    let mut taken: Vec<Seat> = Vec::new();
    let find = |wish: &Wish| {
        let free: Vec<Seat> = lefts(wish, from, to)
            .into_iter()
            .flat_map(|left| (0..ROWS).map(move |row| hung(wish, row, left)))
            .filter(|seat| from <= seat.left && seat.right <= to)
            .filter(|seat| taken.iter().all(|other| !in_the_way(seat, other)))
            .collect();
        let found = free.iter().find(|seat| keeps_clear(seat, wish, wishes));
        let found = found.or_else(|| free.first()).copied();
        taken.extend(found);
        found
    };
    wishes.iter().map(find).collect()
}

/// Whether no line still to come will want the spot of a flag: better than a nearer row. Names
/// under stretches need no such care, as their lines can move.
fn keeps_clear(seat: &Seat, wish: &Wish, wishes: &[Wish]) -> bool {
    wish.hang != Hang::Beside
        || wishes.iter().map(|other| other.at).all(|line| {
            line == wish.at || line <= seat.left - BESIDE || seat.right + BESIDE <= line
        })
}

fn lefts(wish: &Wish, from: f64, to: f64) -> Vec<f64> {
    let held = |left: f64| left.min(to - wish.width).max(from);
    let centred = wish.at - wish.width / 2.0;
    match wish.hang {
        Hang::Beside => vec![wish.at + BESIDE, wish.at - BESIDE - wish.width, held(centred)],
        Hang::Under(half) => {
            // The middle of the text stays under the stretch.
            [0.0, -0.5, 0.5, -1.0, 1.0].map(|share| held(half.mul_add(share, centred))).to_vec()
        }
    }
}

/// A text in its row, with the line that leads to it as near its middle as the stretch allows.
fn hung(wish: &Wish, row: usize, left: f64) -> Seat {
    let at = match wish.hang {
        Hang::Beside => wish.at,
        Hang::Under(half) => (left + wish.width / 2.0).clamp(wish.at - half, wish.at + half),
    };
    Seat { row, left, right: left + wish.width, at }
}

fn in_the_way(one: &Seat, other: &Seat) -> bool {
    let same_row =
        one.row == other.row && one.left < other.right + GAP && other.left < one.right + GAP;
    let crosses = |line: &Seat, text: &Seat| {
        let reaches = text.row < line.row || (text.row == line.row && line.is_beside());
        reaches && text.left - BESIDE < line.at && line.at < text.right + BESIDE
    };
    same_row || crosses(one, other) || crosses(other, one)
}

/// How many rows the seats take.
pub(super) fn rows(seats: &[Option<Seat>]) -> usize {
    seats.iter().flatten().map(|seat| seat.row + 1).max().unwrap_or(0)
}

/// Free spots inside a plot.
pub(super) struct Spots {
    bounds: Rect,
    taken: Vec<Rect>,
}

impl Spots {
    /// All of a plot free.
    pub(super) const fn inside(bounds: Rect) -> Self {
        Self { bounds, taken: Vec::new() }
    }
    /// Keeps labels off this.
    pub(super) fn take(&mut self, rect: Rect) {
        self.taken.push(rect);
    }
    /// Keeps labels off a line.
    pub(super) fn take_line(&mut self, places: impl Iterator<Item = (f64, f64)>) {
        const REACH: f64 = 4.0;
        let mut last: Option<(f64, f64)> = None;
        for (x, y) in places.filter(|(x, y)| x.is_finite() && y.is_finite()) {
            let (from_x, from_y) = last.unwrap_or((x, y));
            let steps = ((x - from_x).hypot(y - from_y) / REACH).ceil().clamp(1.0, 500.0);
            for step in 0..=steps as u32 {
                let share = f64::from(step) / steps;
                let at = |from: f64, to: f64| share.mul_add(to - from, from);
                self.take(Rect::around(at(from_x, x), at(from_y, y), REACH));
            }
            last = Some((x, y));
        }
    }
    /// The free spot nearest a wished one, given by its left top corner, or `None` within reach.
    pub(super) fn find(&mut self, x: f64, y: f64, width: f64, height: f64) -> Option<Rect> {
        const STEP: f64 = 4.0;
        const RINGS: i32 = 40;
        let spot = |dx: i32, dy: i32| {
            let (left, top) = (f64::from(dx).mul_add(STEP, x), f64::from(dy).mul_add(STEP, y));
            Rect { left, top, right: left + width, bottom: top + height }
        };
        let rings = (0..=RINGS).flat_map(|ring| {
            (-ring..=ring)
                .flat_map(move |one| [(one, -ring), (one, ring), (-ring, one), (ring, one)])
        });
        let free = |spot: &Rect| !self.taken.iter().any(|rect| rect.meets(spot));
        let found = rings
            .map(|(dx, dy)| spot(dx, dy))
            .find(|spot| self.bounds.holds(spot) && free(spot))?;
        self.take(found);
        Some(found)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_name_meets_another_or_the_line_of_another(
            wishes in prop::collection::vec((0.0..400.0f64, 10.0..150.0f64, prop::option::of(1.0..80.0f64)), 0..14),
        ) {
            let wishes: Vec<Wish> = wishes
                .into_iter()
                .map(|(at, width, half)| Wish { at, width, hang: half.map_or(Hang::Beside, Hang::Under) })
                .collect();
            let seats: Vec<Seat> = seat(&wishes, 0.0, 400.0).into_iter().flatten().collect();
            prop_assert!(wishes.is_empty() || !seats.is_empty());
            for (index, one) in seats.iter().enumerate() {
                prop_assert!(one.left >= 0.0 && one.right <= 400.0);
                for other in &seats[index + 1..] {
                    prop_assert!(one.row != other.row || one.right <= other.left || other.right <= one.left);
                    for (line, text) in [(one, other), (other, one)] {
                        prop_assert!(text.row >= line.row || line.at <= text.left || text.right <= line.at);
                    }
                }
            }
        }
    }

    #[test]
    fn a_label_finds_the_nearest_free_spot_or_none() {
        let bounds = Rect { left: 0.0, top: 0.0, right: 100.0, bottom: 50.0 };
        let mut spots = Spots::inside(bounds);
        let first = spots.find(10.0, 10.0, 40.0, 12.0).unwrap();
        assert_eq!((first.left, first.top), (10.0, 10.0));
        let second = spots.find(10.0, 10.0, 40.0, 12.0).unwrap();
        assert!(!first.meets(&second));
        spots.take(bounds);
        assert_eq!(spots.find(10.0, 10.0, 40.0, 12.0), None);
    }
}
