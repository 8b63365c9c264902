//! What kind each field of a description and of a page's header has.
//!
//! From `parquet.thrift` of the Apache Parquet format. Only what the library reads by its place is
//! here; what it does not know it skips by the kind that the file states, as the walk does.

/// Kind of a value.
#[derive(Clone, Copy)]
pub(super) enum Kind {
    Truth,
    Byte,
    /// Of 16, 32 or 64 bits: all are written in the same way.
    Integer,
    Double,
    /// Text or bytes.
    Text,
    List(&'static Kind),
    Structure(Shape),
}

/// Fields of a structure by their ids.
pub(super) type Shape = &'static [(i16, Kind)];

use Kind::{Byte, Double, Integer, List, Structure, Text, Truth};

impl Kind {
    /// Whether the compact protocol writes it so.
    pub(super) const fn is_written_as(self, code: u8) -> bool {
        match self {
            Truth => matches!(code, 1 | 2),
            Byte => code == 3,
            Integer => matches!(code, 4..=6),
            Double => code == 7,
            Text => code == 8,
            List(_) => code == 9,
            Structure(_) => code == 12,
        }
    }
}

/// The header of a page.
pub(super) const PAGE: Shape = &[
    (1, Integer),
    (2, Integer),
    (3, Integer),
    (4, Integer),
    (5, Structure(VALUES)),
    (6, Structure(&[])),
    (7, Structure(DICTIONARY)),
    (8, Structure(VALUES_BY_THE_SECOND_FORM)),
];

const VALUES: Shape =
    &[(1, Integer), (2, Integer), (3, Integer), (4, Integer), (5, Structure(STATISTICS))];

const DICTIONARY: Shape = &[(1, Integer), (2, Integer), (3, Truth)];

const VALUES_BY_THE_SECOND_FORM: Shape = &[
    (1, Integer),
    (2, Integer),
    (3, Integer),
    (4, Integer),
    (5, Integer),
    (6, Integer),
    (7, Truth),
    (8, Structure(STATISTICS)),
];

const STATISTICS: Shape = &[
    (1, Text),
    (2, Text),
    (3, Integer),
    (4, Integer),
    (5, Text),
    (6, Text),
    (7, Truth),
    (8, Truth),
    (9, Integer),
];

/// The description at the end of a file.
pub(super) const FILE: Shape = &[
    (1, Integer),
    (2, List(&Structure(SCHEMA_ELEMENT))),
    (3, Integer),
    (4, List(&Structure(ROW_GROUP))),
    (5, List(&Structure(KEY_AND_VALUE))),
    (6, Text),
    (7, List(&Structure(COLUMN_ORDER))),
    (9, Text),
];

const SCHEMA_ELEMENT: Shape = &[
    (1, Integer),
    (2, Integer),
    (3, Integer),
    (4, Text),
    (5, Integer),
    (6, Integer),
    (7, Integer),
    (8, Integer),
    (9, Integer),
    (10, Structure(LOGICAL_TYPE)),
];

const LOGICAL_TYPE: Shape = &[
    (1, Structure(&[])),
    (2, Structure(&[])),
    (3, Structure(&[])),
    (4, Structure(&[])),
    (5, Structure(&[(1, Integer), (2, Integer)])),
    (6, Structure(&[])),
    (7, Structure(TIME)),
    (8, Structure(TIME)),
    (10, Structure(&[(1, Byte), (2, Truth)])),
    (11, Structure(&[])),
    (12, Structure(&[])),
    (13, Structure(&[])),
    (14, Structure(&[])),
    (15, Structure(&[])),
    (16, Structure(&[(1, Byte)])),
    (17, Structure(&[(1, Text)])),
    (18, Structure(&[(1, Text), (2, Integer)])),
    (19, Structure(&[])),
];

const TIME: Shape =
    &[(1, Truth), (2, Structure(&[(1, Structure(&[])), (2, Structure(&[])), (3, Structure(&[]))]))];

const COLUMN_ORDER: Shape = &[(1, Structure(&[])), (2, Structure(&[])), (3, Structure(&[]))];

const ROW_GROUP: Shape = &[
    (1, List(&Structure(COLUMN))),
    (2, Integer),
    (3, Integer),
    (4, List(&Structure(&[(1, Integer), (2, Truth), (3, Truth)]))),
    (5, Integer),
    (6, Integer),
    (7, Integer),
];

const COLUMN: Shape = &[
    (1, Text),
    (2, Integer),
    (3, Structure(COLUMN_DESCRIPTION)),
    (4, Integer),
    (5, Integer),
    (6, Integer),
    (7, Integer),
    (9, Text),
];

const COLUMN_DESCRIPTION: Shape = &[
    (1, Integer),
    (2, List(&Integer)),
    (3, List(&Text)),
    (4, Integer),
    (5, Integer),
    (6, Integer),
    (7, Integer),
    (8, List(&Structure(KEY_AND_VALUE))),
    (9, Integer),
    (10, Integer),
    (11, Integer),
    (12, Structure(STATISTICS)),
    (13, List(&Structure(&[(1, Integer), (2, Integer), (3, Integer)]))),
    (14, Integer),
    (15, Integer),
    (16, Structure(&[(1, Integer), (2, List(&Integer)), (3, List(&Integer))])),
    (17, Structure(&[(1, Structure(BOX)), (2, List(&Integer))])),
];

const KEY_AND_VALUE: Shape = &[(1, Text), (2, Text)];

const BOX: Shape = &[
    (1, Double),
    (2, Double),
    (3, Double),
    (4, Double),
    (5, Double),
    (6, Double),
    (7, Double),
    (8, Double),
];
