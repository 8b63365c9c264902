//! Typical errors as published, for as long as a gym's own repeats are few.
//!
//! A published value comes from other people, another device and another week, so it is worth
//! twenty degrees of freedom at most and gives way as own repeats come in.

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
    /// Degrees of freedom it is taken to be worth: those of the sample, twenty at most.
    pub degrees_of_freedom: f64,
    /// Who was tested.
    pub sample: &'static str,
    /// Where it is from.
    pub source: &'static str,
}

/// Height of a jump by impulse or take-off velocity.
pub const JUMP_HEIGHT: PublishedNoise = PublishedNoise {
    test: "countermovement-jump-height",
    words: "height of a countermovement jump",
    percent: 5.8,
    degrees_of_freedom: 20.0,
    sample: "41 active men, two to seven days apart",
    source: "Souza and others 2020, Int J Exerc Sci 13",
};

/// Height of a jump by time in the air. Within one session, so it is worth half of the others.
pub const JUMP_HEIGHT_ON_A_MAT: PublishedNoise = PublishedNoise {
    test: "jump-height-on-a-mat",
    words: "height of a jump on a mat",
    percent: 3.5,
    degrees_of_freedom: 10.0,
    sample: "93 students within a session, the middle of 2.4 to 4.6 %",
    source: "Markovic and others 2004, J Strength Cond Res 18:551",
};

/// Reactive strength index of a drop jump.
pub const REACTIVE_STRENGTH: PublishedNoise = PublishedNoise {
    test: "reactive-strength-index",
    words: "reactive strength index of a drop jump",
    percent: 11.2,
    degrees_of_freedom: 20.0,
    sample: "30 men from 40 cm; 13 basketball players had 2 to 3 %",
    source: "Stratford, Dos'Santos and McMahon, article of a professional body, year not seen; Markwick and others 2015, Int J Sports Physiol Perform 10:482",
};

/// Peak force of an isometric pull.
pub const PULL_PEAK_FORCE: PublishedNoise = PublishedNoise {
    test: "mid-thigh-pull-peak-force",
    words: "peak force of an isometric mid-thigh pull",
    percent: 5.3,
    degrees_of_freedom: 20.0,
    sample: "15 men and 6 women, the largest of the errors given",
    source: "mid-thigh pull against belt squat, Appl Sci, December 2024, authors not seen",
};

/// Published typical errors. None was found for boxers; women are in few samples, and what is not
/// listed has no published reference here.
pub const PUBLISHED: [PublishedNoise; 7] = [
    JUMP_HEIGHT,
    JUMP_HEIGHT_ON_A_MAT,
    PublishedNoise {
        test: "countermovement-jump-peak-force",
        words: "peak force of a countermovement jump",
        percent: 2.5,
        degrees_of_freedom: 20.0,
        sample: "41 active men, two to seven days apart",
        source: "Souza and others 2020, Int J Exerc Sci 13",
    },
    REACTIVE_STRENGTH,
    PublishedNoise {
        test: "reactive-strength-index-modified",
        words: "modified reactive strength index",
        percent: 9.3,
        degrees_of_freedom: 20.0,
        sample: "106 college athletes, the larger of the errors given",
        source: "Suchomel and others 2015, J Strength Cond Res 29:899",
    },
    PULL_PEAK_FORCE,
    PublishedNoise {
        test: "landmine-throw-velocity",
        words: "hand velocity of a landmine punch throw",
        percent: 5.3,
        degrees_of_freedom: 17.0,
        sample: "18 mixed martial artists, test and retest",
        source: "landmine punch throw reliability in MMA athletes, thesis, author not seen",
    },
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
            doubt: "the published sample is not this gym: its value is worth twenty degrees of freedom at most".into(),
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
        assert!((alone.percent - 5.8).abs() < 1e-12 && alone.own_weight == 0.0);
        // By hand: ln 1.058 = 0.056380, ln 1.03 = 0.029559; (20 x 0.0031787 + 60 x 0.00087373) / 80
        // = 0.00144998; exp(0.038079) - 1 = 3.881 %.
        let weighed = known.weighed_with(Some((3.0, 60.0)));
        assert!((weighed.percent - 3.881).abs() < 1e-3, "{}", weighed.percent);
        assert_eq!(weighed.own_weight, 0.75);
        assert!(weighed.sentence.contains("75 % of the weight from own repeats"));
    }

    #[test]
    fn what_is_not_published_is_not_made_up() {
        assert_eq!(published("punch-force"), None);
        let mut tests: Vec<&str> = PUBLISHED.iter().map(|known| known.test).collect();
        tests.dedup();
        assert_eq!(tests.len(), PUBLISHED.len());
        assert!(PUBLISHED.iter().all(|known| known.degrees_of_freedom <= 20.0));
    }
}
