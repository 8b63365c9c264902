//! Recordings as they were received: every byte, under the hash of all of them, kept for ever.
//!
//! They lie in the store's own file, compressed, so that a backup, a restore and a check hold them
//! with the operations that name them and nothing can be copied without the rest.

use super::StoreError;
use cornerwork_core::session::trace::RecordingHash;
use sha2::{Digest, Sha256};
use sqlx::sqlite::{SqliteConnection, SqlitePool};
use sqlx::{Row, query, query_scalar};
use std::io::Read;

/// Level of compression: force as text becomes about a fifth, as fast as it is read from a disk.
const LEVEL: i32 = 3;
/// Largest recording, in bytes: an hour of four plates as text. More is no trial, and the length
/// kept beside a damaged one must not ask for all memory.
pub const LARGEST_RECORDING: usize = 256 * 1024 * 1024;

/// Name of these bytes.
pub fn hash_of(bytes: &[u8]) -> RecordingHash {
    RecordingHash(Sha256::digest(bytes).into())
}

/// The recordings of an open store; cheap to clone.
#[derive(Clone)]
pub struct Recordings {
    pub(super) writer: SqlitePool,
    pub(super) readers: SqlitePool,
}

impl Recordings {
    /// Keeps the bytes under their hash. When it returns they are on the disk; bytes that are there
    /// already are left as they are.
    ///
    /// # Errors
    /// [`StoreError::RecordingTooLarge`], [`StoreError::Compression`], [`StoreError::Database`];
    /// nothing was kept then.
    pub async fn keep(&self, bytes: &[u8]) -> Result<RecordingHash, StoreError> {
        if bytes.len() > LARGEST_RECORDING {
            return Err(StoreError::RecordingTooLarge {
                bytes: bytes.len(),
                most: LARGEST_RECORDING,
            });
        }
        let hash = hash_of(bytes);
        if self.has(hash).await? {
            return Ok(hash);
        }
        let packed = zstd::bulk::compress(bytes, LEVEL).map_err(StoreError::Compression)?;
        query(
            "INSERT INTO recording (hash, length, packed) VALUES ($1, $2, $3)
             ON CONFLICT (hash) DO NOTHING",
        )
        .bind(&hash.0[..])
        .bind(bytes.len() as i64)
        .bind(packed)
        .execute(&self.writer)
        .await?;
        Ok(hash)
    }

    /// Whether these bytes are here.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn has(&self, hash: RecordingHash) -> Result<bool, StoreError> {
        let found: Option<i64> = query_scalar("SELECT 1 FROM recording WHERE hash = $1")
            .bind(&hash.0[..])
            .fetch_optional(&self.readers)
            .await?;
        Ok(found.is_some())
    }

    /// The bytes of a hash, exactly as they were received.
    ///
    /// # Errors
    /// [`StoreError::RecordingMissing`], or [`StoreError::RecordingDamaged`] when they are not what
    /// their hash says.
    pub async fn read(&self, hash: RecordingHash) -> Result<Vec<u8>, StoreError> {
        let row = query("SELECT length, packed FROM recording WHERE hash = $1")
            .bind(&hash.0[..])
            .fetch_optional(&self.readers)
            .await?
            .ok_or(StoreError::RecordingMissing { hash })?;
        unpacked(hash, row.try_get(0)?, row.try_get(1)?)
    }
}

/// The recording of every row that is not what its hash says.
pub(super) async fn damaged(
    connection: &mut SqliteConnection,
) -> Result<(Vec<RecordingHash>, Vec<StoreError>), StoreError> {
    let hashes: Vec<Vec<u8>> = query_scalar("SELECT hash FROM recording ORDER BY hash")
        .fetch_all(&mut *connection)
        .await?;
    let (mut whole, mut faults) = (Vec::new(), Vec::new());
    // One at a time: together they may be larger than the memory.
    for name in hashes {
        let row = query("SELECT length, packed FROM recording WHERE hash = $1")
            .bind(&name)
            .fetch_one(&mut *connection)
            .await?;
        let Ok(name) = <[u8; 32]>::try_from(name) else { continue };
        let hash = RecordingHash(name);
        match unpacked(hash, row.try_get(0)?, row.try_get(1)?) {
            Ok(_) => whole.push(hash),
            Err(fault) => faults.push(fault),
        }
    }
    Ok((whole, faults))
}

fn unpacked(hash: RecordingHash, length: i64, packed: &[u8]) -> Result<Vec<u8>, StoreError> {
    let damaged = || StoreError::RecordingDamaged { hash };
    let length = usize::try_from(length).ok().filter(|length| *length <= LARGEST_RECORDING);
    let length = length.ok_or_else(damaged)?;
    let mut bytes = Vec::with_capacity(length);
    let decoder = zstd::stream::read::Decoder::new(packed).map_err(|_| damaged())?;
    // One byte more than there should be shows that there is more.
    decoder.take(length as u64 + 1).read_to_end(&mut bytes).map_err(|_| damaged())?;
    if bytes.len() == length && hash_of(&bytes) == hash { Ok(bytes) } else { Err(damaged()) }
}
