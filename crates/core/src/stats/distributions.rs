//! The four distributions intervals are made of, by probability and by quantile.
//!
//! Thin names over `statrs`, so that one place answers for their accuracy: golden values from an
//! independent implementation hold each to eight digits or better. Outside their domain (degrees
//! of freedom not above zero, probability outside 0 to 1) the answer is not-a-number.

use statrs::distribution::{
    ChiSquared, Continuous, ContinuousCDF, FisherSnedecor, Normal, StudentsT,
};

/// P(Z <= z) of a standard normal.
pub fn normal_cdf(z: f64) -> f64 {
    Normal::standard().cdf(z)
}

/// The z below which a standard normal falls with this probability.
pub fn normal_quantile(probability: f64) -> f64 {
    quantile(&Normal::standard(), probability)
}

/// P(T <= t) of Student's t.
pub fn student_t_cdf(t: f64, degrees_of_freedom: f64) -> f64 {
    student_t(degrees_of_freedom).map_or(f64::NAN, |student| student.cdf(t))
}

/// Density of Student's t.
pub fn student_t_density(t: f64, degrees_of_freedom: f64) -> f64 {
    student_t(degrees_of_freedom).map_or(f64::NAN, |student| student.pdf(t))
}

/// The t below which Student's t falls with this probability.
pub fn student_t_quantile(probability: f64, degrees_of_freedom: f64) -> f64 {
    student_t(degrees_of_freedom).map_or(f64::NAN, |student| quantile(&student, probability))
}

/// P(X <= x) of chi-square.
pub fn chi_square_cdf(x: f64, degrees_of_freedom: f64) -> f64 {
    ChiSquared::new(degrees_of_freedom).map_or(f64::NAN, |chi| chi.cdf(x))
}

/// The x below which chi-square falls with this probability.
pub fn chi_square_quantile(probability: f64, degrees_of_freedom: f64) -> f64 {
    ChiSquared::new(degrees_of_freedom).map_or(f64::NAN, |chi| quantile(&chi, probability))
}

/// P(F <= f) of the F distribution.
pub fn f_cdf(f: f64, numerator_df: f64, denominator_df: f64) -> f64 {
    FisherSnedecor::new(numerator_df, denominator_df).map_or(f64::NAN, |fisher| fisher.cdf(f))
}

/// The f below which the F distribution falls with this probability.
pub fn f_quantile(probability: f64, numerator_df: f64, denominator_df: f64) -> f64 {
    FisherSnedecor::new(numerator_df, denominator_df)
        .map_or(f64::NAN, |fisher| quantile(&fisher, probability))
}

fn student_t(degrees_of_freedom: f64) -> Option<StudentsT> {
    StudentsT::new(0.0, 1.0, degrees_of_freedom).ok()
}

fn quantile(distribution: &impl ContinuousCDF<f64, f64>, probability: f64) -> f64 {
    if (0.0..=1.0).contains(&probability) {
        distribution.inverse_cdf(probability)
    } else {
        f64::NAN
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outside_the_domain_there_is_no_number() {
        assert!(normal_quantile(1.5).is_nan());
        assert!(student_t_quantile(0.95, 0.0).is_nan());
        assert!(student_t_quantile(f64::NAN, 3.0).is_nan());
        assert!(chi_square_quantile(0.95, -1.0).is_nan());
        assert!(f_quantile(0.95, 1.0, f64::NAN).is_nan());
    }
}
