//! Few own data drawn towards what was known before, with the weight stated.

/// A number after both sources were weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shrunk {
    /// Weighted value.
    pub value: f64,
    /// Its standard deviation.
    pub standard_deviation: f64,
    /// Share that comes from own data, 0 to 1.
    pub own_weight: f64,
}

/// A standard deviation after both sources were weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShrunkSpread {
    /// Weighted standard deviation.
    pub standard_deviation: f64,
    /// Degrees of freedom of both together.
    pub degrees_of_freedom: f64,
    /// Share that comes from own data, 0 to 1.
    pub own_weight: f64,
}

/// Own value and prior value by their precisions: the posterior of a normal mean.
///
/// Gelman and others, Bayesian Data Analysis, 3rd ed. 2013, section 2.5.
pub fn towards(prior: (f64, f64), own: (f64, f64)) -> Shrunk {
    let ((prior_mean, prior_sd), (own_value, own_error)) = (prior, own);
    let own_weight = prior_sd.powi(2) / (prior_sd.powi(2) + own_error.powi(2));
    Shrunk {
        value: own_weight * own_value + (1.0 - own_weight) * prior_mean,
        standard_deviation: own_error * own_weight.sqrt(),
        own_weight,
    }
}

/// Own and prior standard deviation by their degrees of freedom: the scaled inverse chi-square
/// update of a variance. Without own degrees of freedom the prior stands.
///
/// Gelman and others 2013, section 2.6.
pub fn spread_towards(prior: (f64, f64), own: Option<(f64, f64)>) -> ShrunkSpread {
    let (prior_sd, prior_df) = prior;
    let (own_sd, own_df) = own.unwrap_or((prior_sd, 0.0));
    let degrees_of_freedom = prior_df + own_df;
    let variance = (prior_df * prior_sd.powi(2) + own_df * own_sd.powi(2)) / degrees_of_freedom;
    ShrunkSpread {
        standard_deviation: variance.sqrt(),
        degrees_of_freedom,
        own_weight: own_df / degrees_of_freedom,
    }
}

/// A population's mean and spread as known from a sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Norm {
    /// Mean.
    pub mean: f64,
    /// Standard deviation between members.
    pub standard_deviation: f64,
    /// Members the mean is worth.
    pub mean_worth: f64,
    /// Degrees of freedom of the standard deviation.
    pub degrees_of_freedom: f64,
}

impl Norm {
    /// From a sample of `count` with n - 1 degrees of freedom.
    pub fn of_sample(mean: f64, standard_deviation: f64, count: usize) -> Self {
        let count = count as f64;
        Self { mean, standard_deviation, mean_worth: count, degrees_of_freedom: count - 1.0 }
    }
    /// A published sample as prior for another place: its mean is worth no more than the spread
    /// between places lets it be, its spread no more than twenty degrees of freedom.
    pub fn published(
        mean: f64,
        standard_deviation: f64,
        count: usize,
        between_places: f64,
    ) -> Self {
        let inverse_worth = (between_places / standard_deviation).powi(2) + 1.0 / count as f64;
        Self {
            mean,
            standard_deviation,
            mean_worth: 1.0 / inverse_worth,
            degrees_of_freedom: (count as f64 - 1.0).min(20.0),
        }
    }
    /// This norm after a local sample was seen: the normal inverse chi-square update.
    ///
    /// Gelman and others 2013, section 3.3.
    #[must_use]
    pub fn after(&self, local: &Self) -> Self {
        let worth = self.mean_worth + local.mean_worth;
        // The update counts n for the spread, one more than the local degrees of freedom.
        let degrees_of_freedom = self.degrees_of_freedom + local.degrees_of_freedom + 1.0;
        let apart = self.mean_worth * local.mean_worth / worth * (self.mean - local.mean).powi(2);
        let squares = self.degrees_of_freedom * self.standard_deviation.powi(2)
            + local.degrees_of_freedom * local.standard_deviation.powi(2)
            + apart;
        Self {
            mean: (self.mean_worth * self.mean + local.mean_worth * local.mean) / worth,
            standard_deviation: (squares / degrees_of_freedom).sqrt(),
            mean_worth: worth,
            degrees_of_freedom,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_follow_precision_and_degrees_of_freedom() {
        // By hand: change 3 with standard error 1.5 root 2 against a prior N(0, 2): mean 1.41176,
        // standard deviation 1.45521, weight 4 / (4 + 4.5).
        let change = towards((0.0, 2.0), (3.0, 1.5 * 2.0_f64.sqrt()));
        assert!((change.value - 1.411_765).abs() < 1e-6);
        assert!((change.standard_deviation - 1.455_214).abs() < 1e-6);
        assert!((change.own_weight - 4.0 / 8.5).abs() < 1e-12);
        // (20 x 1.5² + 5 x 0.9²) / 25 = 1.962.
        let spread = spread_towards((1.5, 20.0), Some((0.9, 5.0)));
        assert!((spread.standard_deviation - 1.962_f64.sqrt()).abs() < 1e-12);
        assert_eq!((spread.degrees_of_freedom, spread.own_weight), (25.0, 0.2));
        assert_eq!(spread_towards((1.5, 20.0), None).own_weight, 0.0);
    }

    #[test]
    fn a_local_sample_moves_a_published_norm_as_conjugacy_says() {
        // numpy by the formulas of Gelman and others 2013: published 38 ± 5 (n 40), places differ
        // by 2; six local athletes 41 ± 4: worth 5.405, mean 39.578, 26 degrees, SD 4.826.
        let published = Norm::published(38.0, 5.0, 40, 2.0);
        assert!((published.mean_worth - 5.405_405).abs() < 1e-6);
        let norm = published.after(&Norm::of_sample(41.0, 4.0, 6));
        assert!((norm.mean - 39.578_199).abs() < 1e-6);
        assert!((norm.standard_deviation - 4.826_180).abs() < 1e-6);
        assert_eq!(norm.degrees_of_freedom, 26.0);
    }
}
