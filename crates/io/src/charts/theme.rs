//! Ink on paper, or light on near-black: the few tones everything is drawn with.
//!
//! The athlete is ink, others are grey, doubt is a lighter tone of the same hue, and the one
//! accent is kept for what needs an act now. With a single accent that differs from ink and grey
//! in lightness as well as hue, nothing rests on telling two colours apart. The tests hold text to
//! a contrast of 4.5:1 and marks to 3:1 (WCAG 2.2, success criteria 1.4.3 and 1.4.11).

/// Where a figure will be seen, and so where its colours come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Theme {
    /// In a page: CSS variables, so that the page's light and dark carry over, each with the
    /// value of [`Palette::PAPER`] to fall back on. No background.
    Page,
    /// On white, in literal colours: for PDF and files, where no style sheet reaches.
    Ink,
    /// On near-black, in literal colours: for the wall.
    Night,
}

/// The tones of one theme, as `#rrggbb`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// What is drawn on.
    pub paper: &'static str,
    /// The athlete, and all text that matters.
    pub ink: &'static str,
    /// Others, earlier, set aside; quiet text.
    pub other: &'static str,
    /// Hairlines that guide the eye and carry nothing.
    pub hairline: &'static str,
    /// Doubt, and stretches of a scale.
    pub doubt: &'static str,
    /// Every second phase of a trace; carries nothing by itself.
    pub shade: &'static str,
    /// What needs an act now.
    pub accent: &'static str,
}

impl Palette {
    /// Warm white, near-black, one accent: the desk.
    pub const PAPER: Self = Self {
        paper: "#fbf9f4",
        ink: "#1d1c1a",
        other: "#68635a",
        hairline: "#dcd7cb",
        doubt: "#e6e1d6",
        shade: "#f4f0e7",
        accent: "#b03d17",
    };
    /// The same on white: PDF and files.
    pub const PRINT: Self = Self {
        paper: "#ffffff",
        hairline: "#dcdad5",
        doubt: "#e9e7e2",
        shade: "#f6f5f2",
        ..Self::PAPER
    };
    /// Light on near-black: floor and wall.
    pub const NIGHT: Self = Self {
        paper: "#12110f",
        ink: "#f6f2e9",
        other: "#a8a297",
        hairline: "#35322d",
        doubt: "#3a362f",
        shade: "#1f1d1a",
        accent: "#ff9c5a",
    };

    /// The palette as CSS declarations, to be set on `:root` or any element around figures.
    pub fn css_variables(&self) -> String {
        Tone::ALL.map(|tone| format!("{}:{}", tone.variable(), tone.of(self))).join(";")
    }
}

/// What a stroke, a fill or a text stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tone {
    Paper,
    Ink,
    Other,
    Hairline,
    Doubt,
    Shade,
    Accent,
}

impl Tone {
    const ALL: [Self; 7] = [
        Self::Paper,
        Self::Ink,
        Self::Other,
        Self::Hairline,
        Self::Doubt,
        Self::Shade,
        Self::Accent,
    ];

    const fn variable(self) -> &'static str {
        match self {
            Self::Paper => "--figure-paper",
            Self::Ink => "--figure-ink",
            Self::Other => "--figure-other",
            Self::Hairline => "--figure-hairline",
            Self::Doubt => "--figure-doubt",
            Self::Shade => "--figure-shade",
            Self::Accent => "--figure-accent",
        }
    }
    const fn of(self, palette: &Palette) -> &'static str {
        match self {
            Self::Paper => palette.paper,
            Self::Ink => palette.ink,
            Self::Other => palette.other,
            Self::Hairline => palette.hairline,
            Self::Doubt => palette.doubt,
            Self::Shade => palette.shade,
            Self::Accent => palette.accent,
        }
    }
}

impl Theme {
    const fn palette(self) -> &'static Palette {
        match self {
            Self::Page => &Palette::PAPER,
            Self::Ink => &Palette::PRINT,
            Self::Night => &Palette::NIGHT,
        }
    }
    /// The colour of a tone, as written into the SVG.
    pub(super) fn colour(self, tone: Tone) -> String {
        let literal = tone.of(self.palette());
        match self {
            Self::Page => format!("var({},{literal})", tone.variable()),
            Self::Ink | Self::Night => literal.to_owned(),
        }
    }
    /// The typeface: one set of widths everywhere, so that labels measured apart stay apart. The
    /// first is the one embedded in PDF, the others are its equals on other systems.
    pub(super) const fn font(self) -> &'static str {
        match self {
            Self::Page => "var(--figure-font,Liberation Sans,Arimo,Arial,Helvetica,sans-serif)",
            Self::Ink | Self::Night => "Arimo,Liberation Sans,Arial,Helvetica,sans-serif",
        }
    }
    /// Whether the figure paints its own background.
    pub(super) const fn is_opaque(self) -> bool {
        matches!(self, Self::Ink | Self::Night)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance of an sRGB colour, WCAG 2.2 definition.
    fn luminance(colour: &str) -> f64 {
        let channel = |at: usize| {
            let value = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0;
            if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    fn contrast(one: &str, other: &str) -> f64 {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn the_contrast_formula_is_the_standard_one() {
        // WCAG 2.2: black on white is 21:1; #767676 is the lightest grey that passes on white.
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
        assert!(contrast("#767676", "#ffffff") >= 4.5 && contrast("#777777", "#ffffff") < 4.5);
    }

    #[test]
    fn text_and_marks_can_be_read_in_every_theme() {
        for palette in [Palette::PAPER, Palette::PRINT, Palette::NIGHT] {
            for text in [palette.ink, palette.other, palette.accent] {
                for ground in [palette.paper, palette.doubt, palette.shade] {
                    // Text may run over a shaded stretch, so both grounds are held to 4.5:1,
                    // which covers the 3:1 of marks.
                    let ratio = contrast(text, ground);
                    assert!(ratio >= 4.5, "{text} on {ground}: {ratio:.2}");
                }
            }
            assert!(
                contrast(palette.accent, palette.ink) > 1.5,
                "accent and ink differ in lightness"
            );
        }
    }

    #[test]
    fn the_wall_has_a_contrast_of_ten() {
        assert!(contrast(Palette::NIGHT.ink, Palette::NIGHT.paper) >= 10.0);
    }

    #[test]
    fn a_page_takes_its_tones_from_variables_with_a_fallback() {
        assert_eq!(Theme::Page.colour(Tone::Ink), "var(--figure-ink,#1d1c1a)");
        assert_eq!(Theme::Ink.colour(Tone::Ink), "#1d1c1a");
        assert!(Palette::NIGHT.css_variables().contains("--figure-ink:#f6f2e9;"));
    }
}
