//! What a metric is.

/// Which way a metric gets better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Better {
    /// More is better.
    Higher,
    /// Less is better.
    Lower,
    /// It describes; more is neither better nor worse.
    Neither,
}

impl Better {
    /// One word for tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Higher => "higher",
            Self::Lower => "lower",
            Self::Neither => "neither",
        }
    }
}

/// One entry of the registry.
#[derive(Debug, PartialEq, Eq)]
pub struct Definition {
    /// Stable, snake_case, unit last; also its key in JSON. A full stop leads into an object:
    /// `force_n_at.50` is the entry `50` of `force_n_at`.
    pub id: &'static str,
    /// Symbol of the unit; empty for a pure number.
    pub unit: &'static str,
    /// Which way is better.
    pub better: Better,
    /// What it is and how it is computed.
    pub definition: &'static str,
    /// Where that is from.
    pub source: &'static str,
}

impl Definition {
    /// The source of what is counted.
    pub const COUNT: &str = "count";
}

/// Declares a family: a title, and a static for every metric.
macro_rules! family {
    ($title:literal; $($name:ident: $id:literal, $unit:literal, $better:ident, $definition:literal, $source:expr;)+) => {
        $(
            #[doc = $definition]
            pub static $name: $crate::metrics::Definition = $crate::metrics::Definition {
                id: $id,
                unit: $unit,
                better: $crate::metrics::Better::$better,
                definition: $definition,
                source: $source,
            };
        )+
        /// Every metric of the family, in the order of its table.
        pub static FAMILY: $crate::metrics::registry::Family = $crate::metrics::registry::Family {
            title: $title,
            metrics: &[$(&$name),+],
        };
    };
}
pub(crate) use family;
