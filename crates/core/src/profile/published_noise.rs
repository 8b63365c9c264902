//! Typical errors as published, for as long as a gym's own repeats are few.
//!
//! A published value comes from other people, another device and another week, and gives way as
//! own repeats come in. What it is worth depends on how much of its source was read: ten degrees
//! of freedom on the word of an abstract ([`FROM_AN_ABSTRACT`]), five on an excerpt, from memory
//! or within one session ([`WEAKER`]); no source here was read in full.

use crate::stats::shrinkage::{ShrunkSpread, spread_towards};
use crate::working::{Input, Working};

/// One published typical error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PublishedNoise {
    /// Stable id of the test, in kebab-case.
    pub test: &'static str,
    /// In plain words.
    pub words: &'static str,
    /// Typical error as a percentage of the value.
    pub percent: f64,
    /// Degrees of freedom it is taken to be worth.
    pub degrees_of_freedom: f64,
    /// Who was tested.
    pub sample: &'static str,
    /// Where it is from.
    pub source: &'static str,
}

/// Degrees of freedom of a value between days whose source was read as an abstract.
pub const FROM_AN_ABSTRACT: f64 = 10.0;
/// Degrees of freedom of a value that was remembered, read in an excerpt of an article that no
/// journal printed, or taken within one session.
pub const WEAKER: f64 = 5.0;

/// Height of a jump by impulse or take-off velocity.
///
/// Two studies of plates, days apart, differ: 5.8 % in 41 men (Souza and others 2020) and 3.8 % in
/// 16 women (González-García, Conejero and Gutiérrez-Hellín 2024). The value is their geometric
/// mean, exp((ln 5.8 + ln 3.8) / 2) = 4.7 %. The two logarithms stray by 0.30 from their mean; a
/// spread whose logarithm is known to 0.30 is worth 1 / (2 x 0.30^2), six degrees of freedom.
pub const JUMP_HEIGHT: PublishedNoise = PublishedNoise {
    test: "countermovement-jump-height",
    words: "height of a countermovement jump",
    percent: 4.7,
    degrees_of_freedom: 6.0,
    sample: "days apart on a plate: 5.8 % in 41 active men, 3.8 % in 16 women of volleyball; between the two",
    source: "Souza and others 2020, Int J Exerc Sci 13; González-García, Conejero and Gutiérrez-Hellín 2024, Appl Sci 14(6):2662",
};

/// Height of a jump by time in the air, within one session. The abstract gives 2.4 to 4.6 % over
/// seven tests, the countermovement jump among the lowest; its own value is from memory. Over six
/// days 17 students varied by 6.3 % (Arteaga and others 2000, J Sports Med Phys Fitness 40:26).
pub const JUMP_HEIGHT_ON_A_MAT: PublishedNoise = PublishedNoise {
    test: "jump-height-on-a-mat",
    words: "height of a jump on a mat",
    percent: 2.8,
    degrees_of_freedom: WEAKER,
    sample: "countermovement jump of 93 students within a session, value from memory",
    source: "Markovic and others 2004, J Strength Cond Res 18:551",
};

/// Reactive strength index of a drop jump, within one session. Basketball players had 2 to 3 %
/// (Markwick and others 2015, Int J Sports Physiol Perform 10:482).
pub const REACTIVE_STRENGTH: PublishedNoise = PublishedNoise {
    test: "reactive-strength-index",
    words: "reactive strength index of a drop jump",
    percent: 11.2,
    degrees_of_freedom: WEAKER,
    sample: "30 men, three drops from 40 cm in a session; 8.2 % from 30 cm",
    source: "Stratford, Dos'Santos and McMahon, comparing drop jumps with 10/5 repeated jumps, article of a professional body, year not seen",
};

/// Peak force of an isometric pull.
pub const PULL_PEAK_FORCE: PublishedNoise = PublishedNoise {
    test: "mid-thigh-pull-peak-force",
    words: "peak force of an isometric mid-thigh pull",
    percent: 5.3,
    degrees_of_freedom: FROM_AN_ABSTRACT,
    sample: "15 men and 6 women, between sessions, the largest of the errors given",
    source: "Giuliano, Soriano, Pino-Mulero and González-García 2025, Appl Sci 15(1):303",
};

/// Published typical errors. None was found for boxers; women are in few samples, and what is not
/// listed has no published reference here.
pub const PUBLISHED: [PublishedNoise; 6] = [
    JUMP_HEIGHT,
    JUMP_HEIGHT_ON_A_MAT,
    PublishedNoise {
        test: "countermovement-jump-peak-force",
        words: "peak force of a countermovement jump",
        percent: 2.5,
        degrees_of_freedom: FROM_AN_ABSTRACT,
        sample: "41 active men, two to seven days apart",
        source: "Souza and others 2020, Int J Exerc Sci 13",
    },
    REACTIVE_STRENGTH,
    PublishedNoise {
        test: "reactive-strength-index-modified",
        words: "modified reactive strength index",
        percent: 9.3,
        degrees_of_freedom: FROM_AN_ABSTRACT,
        sample: "106 college athletes, the larger of the errors given",
        source: "Suchomel and others 2015, J Strength Cond Res 29:899",
    },
    PULL_PEAK_FORCE,
];

/// The typical error to use: own and published weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct WeighedNoise {
    /// As a percentage of the value.
    pub percent: f64,
    /// Degrees of freedom of both together.
    pub degrees_of_freedom: f64,
    /// Share that comes from own repeats, 0 to 1.
    pub own_weight: f64,
    /// One plain sentence.
    pub sentence: String,
    /// What 'why?' shows.
    pub working: Working,
}

/// The published typical error of a test; nothing where there is no published reference.
pub fn published(test: &str) -> Option<&'static PublishedNoise> {
    PUBLISHED.iter().find(|known| known.test == test)
}

impl WeighedNoise {
    /// As a share of the value.
    pub fn share(&self) -> f64 {
        self.percent / 100.0
    }
}

impl PublishedNoise {
    /// Own coefficient of variation (per cent, degrees of freedom) drawn towards the published one.
    ///
    /// Scaled inverse chi-square update of the variance of the logarithms (Gelman and others 2013,
    /// section 2.6). Without own repeats the published value stands with own weight zero.
    pub fn weighed_with(&self, own: Option<(f64, f64)>) -> WeighedNoise {
        let own_logs = own.map(|(percent, df)| (log_sd(percent), df));
        let ShrunkSpread { standard_deviation, degrees_of_freedom, own_weight } =
            spread_towards((log_sd(self.percent), self.degrees_of_freedom), own_logs);
        let percent = 100.0 * standard_deviation.exp_m1();
        let sentence = format!(
            "Typical error in use {percent:.1} %: {:.0} % of the weight from own repeats, the rest from {} ({:.1} %, {}).",
            100.0 * own_weight,
            self.source,
            self.percent,
            self.sample
        );
        let working = self.working(own, percent, own_weight);
        WeighedNoise { percent, degrees_of_freedom, own_weight, sentence, working }
    }

    fn working(&self, own: Option<(f64, f64)>, percent: f64, own_weight: f64) -> Working {
        let own = own.map_or_else(
            || "none yet".to_owned(),
            |(percent, df)| format!("{percent:.2} % on {df:.0} degrees of freedom"),
        );
        Working {
            title: format!("typical error in use, {}", self.words),
            method: "typical-error-weighed",
            version: 1,
            inputs: vec![
                Input::new("own repeats", own),
                Input::new(
                    "published",
                    format!(
                        "{:.1} % worth {:.0} degrees of freedom: {}",
                        self.percent, self.degrees_of_freedom, self.sample
                    ),
                ),
                Input::new("published in", self.source),
            ],
            steps: vec![format!(
                "variances of the logarithms by degrees of freedom, own share {own_weight:.2}: {percent:.2} %"
            )],
            source: "scaled inverse chi-square update of a variance (Gelman and others 2013, Bayesian Data Analysis, section 2.6)",
            doubt: "the published sample is not this gym, and no source was read in full: its value is worth ten degrees of freedom at most".into(),
        }
    }
}

/// Standard deviation of the logarithm behind a percentage.
fn log_sd(percent: f64) -> f64 {
    (percent / 100.0).ln_1p()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn own_repeats_outweigh_the_published_value_as_they_come_in() {
        let known = published("countermovement-jump-height").unwrap();
        let alone = known.weighed_with(None);
        assert!((alone.percent - 4.7).abs() < 1e-12 && alone.own_weight == 0.0);
        // By hand: ln 1.047 = 0.0459290, ln 1.03 = 0.0295588; (6 x 0.00210947 + 18 x 0.00087372)
        // / 24 = 0.00118266; exp(0.0343898) - 1 = 3.499 %.
        let weighed = known.weighed_with(Some((3.0, 18.0)));
        assert!((weighed.percent - 3.499).abs() < 1e-3, "{}", weighed.percent);
        assert_eq!(weighed.own_weight, 0.75);
        assert!(weighed.sentence.contains("75 % of the weight from own repeats"));
    }

    // Geometric mean of the two studies, and degrees of freedom from how far they differ: the
    // logarithm of a standard deviation on n degrees of freedom strays by sqrt(1 / 2n).
    #[test]
    fn two_studies_that_differ_weigh_little() {
        let (men, women) = (5.8_f64, 3.8_f64);
        assert!((JUMP_HEIGHT.percent - (men * women).sqrt()).abs() < 0.05);
        let spread = (men / women).ln() / 2.0_f64.sqrt();
        assert!((JUMP_HEIGHT.degrees_of_freedom - 0.5 / spread.powi(2)).abs() < 0.5);
    }

    #[test]
    fn what_is_not_published_is_not_made_up() {
        assert_eq!(published("punch-force"), None);
        let mut tests: Vec<&str> = PUBLISHED.iter().map(|known| known.test).collect();
        tests.dedup();
        assert_eq!(tests.len(), PUBLISHED.len());
        assert!(PUBLISHED.iter().all(|known| known.degrees_of_freedom <= FROM_AN_ABSTRACT));
    }
}
