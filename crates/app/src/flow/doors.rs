//! Who holds a device: someone who signed in with a number, or whoever picked it up.
//!
//! It keeps a gym's own people to what is theirs to see. Numbers are kept as salted hashes, but
//! they travel the gym's network unencrypted: whoever listens there reads them. The program
//! chooses them, so that nobody's number from elsewhere travels here.

use crate::flow::house::House;
use crate::flow::pin;
use cornerwork_core::camp::permission::{Role, Signed};
use cornerwork_core::camp::safety_change::Member;
use cornerwork_core::session::athlete::AthleteId;
use cornerwork_core::session::gym::Gym;
use cornerwork_core::session::operation::Author;
use jiff::{SignedDuration, Timestamp};
use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use uuid::Uuid;

/// Wrong numbers in a row after which a name is closed for a while, and for how long.
const MOST_TRIES: u32 = 5;
const CLOSED_FOR: SignedDuration = SignedDuration::from_mins(5);

/// Whoever asks for a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Who {
    /// The name, for someone who signed in.
    pub name: Option<String>,
    /// What they may see and do.
    pub role: Role,
    /// The one athlete a guardian sees.
    pub child: Option<AthleteId>,
    /// Which device asks, by the id it was given; absent before it was.
    pub device: Option<String>,
}

/// What the record says of a change made on a device at which nobody signed in.
pub const NOT_SIGNED_IN: &str = "not signed in";

impl Who {
    /// Their word.
    pub fn signed(&self) -> Signed {
        let name = self.name.clone().unwrap_or_else(|| "this device".to_owned());
        Signed { name, role: self.role }
    }

    /// What the record says of a change they make.
    pub fn author(&self) -> Author {
        let name = self.name.clone().unwrap_or_else(|| NOT_SIGNED_IN.to_owned());
        Author { name, device: self.device.clone() }
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
    /// Names with their new numbers, by what their one page is called, until it was shown.
    unseen: Mutex<HashMap<u128, (String, String)>>,
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
            return Who { name: Some(name), role, child, device: None };
        }
        let guarded = |one: &Member| one.role == Role::Coach && one.pin.is_some();
        let role = if gym.safety().members().any(guarded) { Role::Assistant } else { Role::Coach };
        Who { name: None, role, child: None, device: None }
    }

    /// A try at someone's number, which is counted before it is judged: many at once gain nothing.
    /// Gives the number as it is kept.
    fn knock(&self, gym: &Gym, name: &str, now: Timestamp) -> Result<String, NotLetIn> {
        // Names nobody has are not remembered: there is no end of them.
        let kept = gym.safety().member(name).and_then(|member| member.pin.clone());
        let kept = kept.ok_or(NotLetIn::Wrong)?;
        let mut tries = self.tries.lock().unwrap_or_else(PoisonError::into_inner);
        let (count, last) = tries.get(name).copied().unwrap_or((0, now));
        let rested = now.duration_since(last) >= CLOSED_FOR;
        if count >= MOST_TRIES && !rested {
            return Err(NotLetIn::Closed);
        }
        tries.insert(name.to_owned(), (if rested { 1 } else { count + 1 }, now));
        Ok(kept)
    }

    /// The token of a device whose holder is let in.
    fn open(&self, name: &str) -> u128 {
        self.tries.lock().unwrap_or_else(PoisonError::into_inner).remove(name);
        let token = Uuid::new_v4().as_u128();
        let mut devices = self.devices.lock().unwrap_or_else(PoisonError::into_inner);
        devices.insert(token, name.to_owned());
        token
    }

    /// What the page is called on which a new number is shown once.
    pub fn to_show(&self, name: &str, pin: &str) -> u128 {
        let token = Uuid::new_v4().as_u128();
        let mut unseen = self.unseen.lock().unwrap_or_else(PoisonError::into_inner);
        unseen.insert(token, (name.to_owned(), pin.to_owned()));
        token
    }

    /// A name and the number to be shown, the first time it is asked for.
    pub fn shown(&self, token: u128) -> Option<(String, String)> {
        self.unseen.lock().unwrap_or_else(PoisonError::into_inner).remove(&token)
    }

    /// Lets a device go.
    pub fn sign_out(&self, token: u128) {
        self.devices.lock().unwrap_or_else(PoisonError::into_inner).remove(&token);
    }
}

/// Lets someone in and gives the token of the device.
///
/// # Errors
/// [`NotLetIn`]
pub async fn sign_in(house: &House, name: &str, typed: &str) -> Result<u128, NotLetIn> {
    let doors = &house.safety.doors;
    let kept = {
        let ledger = house.keeper.ledger();
        doors.knock(ledger.gym(), name, house.clock().now())?
    };
    let typed = typed.trim().to_owned();
    // Hashing is slow on purpose: it must not hold up the streams.
    let judged = tokio::task::spawn_blocking(move || pin::fits(&kept, &typed));
    if judged.await.unwrap_or(false) { Ok(doors.open(name)) } else { Err(NotLetIn::Wrong) }
}
