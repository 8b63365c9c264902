//! The reliability diagram as a picture: stated probability across, how often it happened up.

use super::Bin;
use std::fmt::Write;

const SIDE: f64 = 320.0;
const LEFT: f64 = 56.0;
const TOP: f64 = 16.0;
/// Bins with fewer cases are chance.
const FEWEST_CASES: usize = 50;

/// Shapes tell the worlds apart without colour.
const SHAPES: [&str; 3] = ["circle", "square", "triangle"];
const INKS: [&str; 3] = ["#1d1c1a", "#a34a12", "#6f6b63"];

/// The diagrams on one square, each with a shape of its own; on the diagonal they keep their word.
pub fn svg(diagrams: &[(&'static str, [Bin; 10])]) -> String {
    let height = TOP + SIDE + 52.0 + 20.0 * diagrams.len() as f64;
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"520\" height=\"{height}\" \
         viewBox=\"0 0 520 {height}\" font-family=\"system-ui, sans-serif\" font-size=\"13\" fill=\"#1d1c1a\">\n\
         <title>Stated probability of a real rise against how often it was one</title>\n\
         <desc>{}</desc>\n<rect width=\"520\" height=\"{height}\" fill=\"#fdfcf8\"/>\n",
        description(diagrams)
    );
    axes(&mut text);
    for (place, (name, bins)) in diagrams.iter().enumerate() {
        let style = place % SHAPES.len();
        let points: Vec<(f64, f64)> = bins
            .iter()
            .filter(|bin| bin.cases >= FEWEST_CASES)
            .map(|bin| at(bin.stated / bin.cases as f64, bin.happened as f64 / bin.cases as f64))
            .collect();
        let line: Vec<String> = points.iter().map(|(x, y)| format!("{x:.1},{y:.1}")).collect();
        line_of(&mut text, &line.join(" "), INKS[style]);
        for point in points {
            mark(&mut text, style, point);
        }
        let y = TOP + SIDE + 58.0 + 20.0 * place as f64;
        mark(&mut text, style, (LEFT + 6.0, y - 4.0));
        push(&mut text, format_args!("<text x=\"{}\" y=\"{y}\">{name}</text>\n", LEFT + 20.0));
    }
    text + "</svg>\n"
}

fn description(diagrams: &[(&'static str, [Bin; 10])]) -> String {
    let worst = |bins: &[Bin; 10]| {
        bins.iter()
            .filter(|bin| bin.cases >= FEWEST_CASES)
            .map(|bin| (bin.stated - bin.happened as f64) / bin.cases as f64)
            .fold(0.0_f64, |worst, gap| if gap.abs() > worst.abs() { gap } else { worst })
    };
    let said: Vec<String> = diagrams
        .iter()
        .map(|(name, bins)| {
            format!("{name}: stated minus happened {:+.0} points at worst", 100.0 * worst(bins))
        })
        .collect();
    said.join("; ")
}

fn at(stated: f64, happened: f64) -> (f64, f64) {
    (LEFT + SIDE * stated, TOP + SIDE * (1.0 - happened))
}

fn axes(text: &mut String) {
    for tick in [0.0, 0.2, 0.4, 0.6, 0.8, 1.0] {
        let ((x, bottom), (left, y)) = (at(tick, 0.0), at(0.0, tick));
        let percent = format!("{:.0}", 100.0 * tick);
        push(
            text,
            format_args!(
                "<text x=\"{x}\" y=\"{}\" text-anchor=\"middle\">{percent}</text>\n",
                bottom + 18.0
            ),
        );
        push(
            text,
            format_args!(
                "<text x=\"{}\" y=\"{}\" text-anchor=\"end\">{percent}</text>\n",
                left - 8.0,
                y + 4.0
            ),
        );
    }
    let ((x0, y0), (x1, y1)) = (at(0.0, 0.0), at(1.0, 1.0));
    push(
        text,
        format_args!("<path d=\"M{x0} {y1}V{y0}H{x1}\" fill=\"none\" stroke=\"#1d1c1a\"/>\n"),
    );
    push(
        text,
        format_args!(
            "<path d=\"M{x0} {y0}L{x1} {y1}\" fill=\"none\" stroke=\"#b9b4a8\" stroke-dasharray=\"4 4\"/>\n"
        ),
    );
    push(
        text,
        format_args!("<text x=\"{x1}\" y=\"{}\" text-anchor=\"end\">stated, %</text>\n", y0 + 36.0),
    );
    push(text, format_args!("<text x=\"{}\" y=\"{}\">happened, %</text>\n", x0 + 8.0, y1 + 12.0));
}

fn line_of(text: &mut String, points: &str, ink: &str) {
    push(
        text,
        format_args!(
            "<polyline points=\"{points}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"1.5\"/>\n"
        ),
    );
}

fn mark(text: &mut String, style: usize, (x, y): (f64, f64)) {
    let ink = INKS[style];
    match SHAPES[style] {
        "circle" => push(
            text,
            format_args!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"4\" fill=\"{ink}\"/>\n"),
        ),
        "square" => push(
            text,
            format_args!(
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"8\" height=\"8\" fill=\"{ink}\"/>\n",
                x - 4.0,
                y - 4.0
            ),
        ),
        _ => push(
            text,
            format_args!("<path d=\"M{x:.1} {:.1}l5 9h-10z\" fill=\"{ink}\"/>\n", y - 5.0),
        ),
    }
}

/// Writing to a text cannot fail.
fn push(text: &mut String, what: std::fmt::Arguments<'_>) {
    let _ = text.write_fmt(what);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_lie_where_the_bins_put_them() {
        let mut bins = [Bin::default(); 10];
        bins[2] = Bin { cases: 100, stated: 25.0, happened: 20 };
        let picture = svg(&[("one world", bins)]);
        // Left 56 + a quarter of 320; top 16 + four fifths of 320.
        assert!(picture.contains("cx=\"136.0\" cy=\"272.0\""), "{picture}");
        assert!(picture.contains("one world: stated minus happened +5 points at worst"));
    }
}
