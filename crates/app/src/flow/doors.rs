//! Who holds a device: someone who signed in with a number, or whoever picked it up.
//!
//! It keeps a gym's own people to what is theirs to see. It keeps nobody out who can read the
//! gym's folder or listen on its network: numbers are kept as they are and travel unencrypted.
//! The program chooses them, so that nobody's number from elsewhere lies here.

use cornerwork_core::camp::permission::{Role, Signed};
use cornerwork_core::camp::safety_change::Member;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use jiff::{SignedDuration, Timestamp};
use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use uuid::Uuid;

/// Wrong numbers in a row after which a name is closed for a while, and for how long.
const MOST_TRIES: u32 = 5;
const CLOSED_FOR: SignedDuration = SignedDuration::from_mins(5);
/// Digits of a number.
const PIN_DIGITS: usize = 6;

/// Whoever asks for a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Who {
    /// The name, for someone who signed in.
    pub name: Option<String>,
    /// What they may see and do.
    pub role: Role,
    /// The one athlete a guardian sees.
    pub child: Option<AthleteId>,
}

impl Who {
    /// Their word.
    pub fn signed(&self) -> Signed {
        let name = self.name.clone().unwrap_or_else(|| "this device".to_owned());
        Signed { name, role: self.role }
    }

    /// Whether an athlete is theirs to see.
    pub fn sees(&self, athlete: &AthleteId) -> bool {
        self.role != Role::Guardian || self.child.as_ref() == Some(athlete)
    }
}

/// Devices signed in, by what their cookie says, and wrong tries. Forgotten when the program ends.
#[derive(Debug, Default)]
pub struct Doors {
    devices: Mutex<HashMap<u128, String>>,
    tries: Mutex<HashMap<String, (u32, Timestamp)>>,
}

/// Why someone was not let in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotLetIn {
    /// No such name, none with a number, or another number.
    #[error("The name and the number do not belong together. Ask the coach for a new number.")]
    Wrong,
    /// Tried too often.
    #[error("Too many wrong numbers. Try again in five minutes.")]
    Closed,
}

impl Doors {
    /// Who holds the device of a token. Unknown devices are the coach's, until a coach has a
    /// number: from then on they are an assistant's.
    pub fn who(&self, token: Option<u128>, gym: &Gym) -> Who {
        let devices = self.devices.lock().unwrap_or_else(PoisonError::into_inner);
        let name = token.and_then(|token| devices.get(&token));
        if let Some(member) = name.and_then(|name| gym.safety().member(name)) {
            let Member { name, role, child, .. } = member.clone();
            return Who { name: Some(name), role, child };
        }
        let guarded = |one: &Member| one.role == Role::Coach && one.pin.is_some();
        let role = if gym.safety().members().any(guarded) { Role::Assistant } else { Role::Coach };
        Who { name: None, role, child: None }
    }

    /// Lets someone in and gives the token of the device.
    ///
    /// # Errors
    /// [`NotLetIn`]
    pub fn sign_in(
        &self,
        gym: &Gym,
        name: &str,
        pin: &str,
        now: Timestamp,
    ) -> Result<u128, NotLetIn> {
        let mut tries = self.tries.lock().unwrap_or_else(PoisonError::into_inner);
        let (count, last) = tries.get(name).copied().unwrap_or((0, now));
        if count >= MOST_TRIES && now.duration_since(last) < CLOSED_FOR {
            return Err(NotLetIn::Closed);
        }
        let known = gym.safety().member(name).and_then(|member| member.pin.as_deref());
        if known.is_none_or(|known| known != pin.trim()) {
            let count = if count >= MOST_TRIES { 1 } else { count + 1 };
            // Names nobody has are not remembered: there is no end of them.
            if known.is_some() {
                tries.insert(name.to_owned(), (count, now));
            }
            return Err(NotLetIn::Wrong);
        }
        tries.remove(name);
        let token = Uuid::now_v7().as_u128() ^ (Uuid::now_v7().as_u128() << 64);
        let mut devices = self.devices.lock().unwrap_or_else(PoisonError::into_inner);
        devices.insert(token, name.to_owned());
        Ok(token)
    }

    /// Lets a device go.
    pub fn sign_out(&self, token: u128) {
        self.devices.lock().unwrap_or_else(PoisonError::into_inner).remove(&token);
    }
}

/// A number nobody chose.
pub fn new_pin() -> String {
    // The last 62 bits of such an id are random.
    let random = Uuid::now_v7().as_u128() % 10_u128.pow(6);
    format!("{random:0PIN_DIGITS$}")
}
