//! Each entry's seal: a hash of the entry and of the seal before it. An entry that was changed, put
//! in or taken away by something else than this program no longer fits the ones after it.
//!
//! SHA-256 (FIPS 180-4). It tells damage and carelessness apart from what was kept; it is no
//! signature, and whoever rewrites the whole file can seal it anew.

use super::StoreError;
use sha2::{Digest, Sha256};
use sqlx::sqlite::{SqliteConnection, SqliteRow};
use sqlx::{Row, query};

/// A seal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Seal([u8; 32]);

/// One entry as its row holds it.
pub(super) struct Entry<'a> {
    pub(super) sequence: i64,
    pub(super) id: &'a [u8],
    pub(super) at_us: i64,
    pub(super) author: &'a str,
    pub(super) device: Option<&'a str>,
    pub(super) kind: &'a str,
    pub(super) version: i64,
    pub(super) body: &'a str,
}

impl Seal {
    /// What stands before the first entry.
    pub(super) const FIRST: Self = Self([0; 32]);

    /// The seal of an entry that follows the one of this seal. Lengths go in before texts, so that
    /// no letter can move from one field to the next.
    pub(super) fn of_next(self, entry: &Entry<'_>) -> Self {
        let mut hash = Sha256::new();
        hash.update(self.0);
        for number in [entry.sequence, entry.at_us, entry.version] {
            hash.update(number.to_le_bytes());
        }
        let device =
            [entry.device.unwrap_or_default().as_bytes(), &[entry.device.is_some().into()]]
                .concat();
        for bytes in [
            entry.id,
            entry.author.as_bytes(),
            &device,
            entry.kind.as_bytes(),
            entry.body.as_bytes(),
        ] {
            hash.update((bytes.len() as u64).to_le_bytes());
            hash.update(bytes);
        }
        Self(hash.finalize().into())
    }

    pub(super) fn bytes(&self) -> &[u8] {
        &self.0
    }

    /// A seal as it is kept; `None` for what is none.
    pub(super) fn kept(bytes: &[u8]) -> Option<Self> {
        bytes.try_into().ok().map(Self)
    }
}

/// The entry of a row, in the columns of [`super::ALL_ROWS`], and the seal it bears.
pub(super) fn entry(row: &SqliteRow) -> Result<(Entry<'_>, Option<Seal>), sqlx::Error> {
    let entry = Entry {
        sequence: row.try_get(0)?,
        id: row.try_get(1)?,
        at_us: row.try_get(2)?,
        author: row.try_get(3)?,
        device: row.try_get(4)?,
        kind: row.try_get(5)?,
        version: row.try_get(6)?,
        body: row.try_get(7)?,
    };
    Ok((entry, Seal::kept(row.try_get(8)?)))
}

/// Where the record ends: the last place in the order, and its seal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct End {
    pub(super) sequence: i64,
    pub(super) seal: Seal,
}

impl End {
    /// The end of an empty record.
    pub(super) const NOTHING: Self = Self { sequence: 0, seal: Seal::FIRST };

    /// The end once this entry stands behind it.
    pub(super) fn followed_by(self, entry: &Entry<'_>) -> Self {
        Self { sequence: entry.sequence, seal: self.seal.of_next(entry) }
    }

    /// Says in the file that the record ends here.
    pub(super) async fn write(self, connection: &mut SqliteConnection) -> Result<(), StoreError> {
        query("UPDATE head SET sequence = $1, seal = $2")
            .bind(self.sequence)
            .bind(self.seal.bytes())
            .execute(connection)
            .await?;
        Ok(())
    }
}

/// Where the file says that the record ends. One who took entries off the end without being asked
/// did not change it, so what comes next does not follow what is left, and a check shows it.
pub(super) async fn head(connection: &mut SqliteConnection) -> Result<End, StoreError> {
    let row = query("SELECT sequence, seal FROM head").fetch_optional(connection).await?;
    let Some(row) = row else { return Ok(End::NOTHING) };
    let seal = Seal::kept(row.try_get(1)?).unwrap_or(Seal::FIRST);
    Ok(End { sequence: row.try_get(0)?, seal })
}

/// Rows that are sealed in one go: few enough that no memory is short of them.
const ROWS_IN_HAND: i64 = 4096;

/// Seals every entry from a place in the order on anew: what this program itself rewrote.
pub(super) async fn seal_from(
    connection: &mut SqliteConnection,
    first: i64,
) -> Result<(), StoreError> {
    let before = query(
        "SELECT sequence, seal FROM operation WHERE sequence < $1 ORDER BY sequence DESC LIMIT 1",
    )
    .bind(first)
    .fetch_optional(&mut *connection)
    .await?;
    let mut end = match before {
        Some(row) => {
            let seal = Seal::kept(row.try_get(1)?).unwrap_or(Seal::FIRST);
            End { sequence: row.try_get(0)?, seal }
        }
        None => End::NOTHING,
    };
    loop {
        let rows = query(
            "SELECT sequence, id, at_us, author, device, kind, version, body, seal
             FROM operation WHERE sequence > $1 ORDER BY sequence LIMIT $2",
        )
        .bind(end.sequence)
        .bind(ROWS_IN_HAND)
        .fetch_all(&mut *connection)
        .await?;
        if rows.is_empty() {
            return end.write(connection).await;
        }
        for row in &rows {
            end = end.followed_by(&entry(row)?.0);
            query("UPDATE operation SET seal = $2 WHERE sequence = $1")
                .bind(end.sequence)
                .bind(end.seal.bytes())
                .execute(&mut *connection)
                .await?;
        }
    }
}

/// Walks along the entries in their order and says of each whether it bears the seal it should.
pub(super) struct Walk {
    seal: Seal,
}

impl Walk {
    pub(super) const fn new() -> Self {
        Self { seal: Seal::FIRST }
    }

    /// Whether the entry is as it was kept, and follows what it followed. After one that does not,
    /// the walk goes on from the seal that one bears, so that each break is told once.
    pub(super) fn fits(&mut self, entry: &Entry<'_>, borne: Option<Seal>) -> bool {
        let expected = self.seal.of_next(entry);
        self.seal = borne.unwrap_or(expected);
        borne == Some(expected)
    }

    /// Whether the file names as its end the entry the walk came to last.
    pub(super) fn ends_at(&self, end: End) -> bool {
        end.seal == self.seal
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with Python's hashlib over the same fields, each text after its length:
    /// `hashlib.sha256(bytes(32) + struct.pack("<qqq", 1, 2, 3) + ...)`.
    #[test]
    fn a_seal_is_the_hash_of_what_is_named() {
        let entry = Entry {
            sequence: 1,
            id: &[7; 16],
            at_us: 2,
            author: "Wren",
            device: Some("tablet"),
            kind: "gym-named",
            version: 3,
            body: "{}",
        };
        let seal = Seal::FIRST.of_next(&entry);
        let hex: String = seal.0.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(hex, "e9792131fe7dd2f65fb9e53cf5fa70df494ddb70f2119093fb9870632d0e9c80");
        let elsewhere = Entry { author: "Wrent", device: Some("ablet"), ..entry };
        assert_ne!(seal, Seal::FIRST.of_next(&elsewhere), "no letter moves between fields");
    }
}
