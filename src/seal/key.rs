//! A person's secret key: made here or by `ssh-keygen`, kept encrypted with a passphrase in OpenSSH's own form.

use std::fmt;

use ssh_key::private::{Ed25519Keypair, KeypairData};
use ssh_key::rand_core::{OsRng, RngCore};
use ssh_key::{Algorithm, Cipher, HashAlg, Kdf, LineEnding, PrivateKey, PublicKey};

/// Rounds of the passphrase derivation (bcrypt-pbkdf); `ssh-keygen` takes 16 unless told otherwise.
const ROUNDS: u32 = 32;
/// A file that asks for more would keep the program busy for hours: about 10 s at this number.
const MAX_ROUNDS: u32 = 1_000;
const SALT_LEN: usize = 16;

/// An unlocked key, in memory only while something is signed; its bytes are wiped when it goes.
pub struct SecretKey {
    key: PrivateKey,
    public: String,
}

/// Why a key cannot be made, read or used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum KeyError {
    NoKey(String),
    /// Another algorithm than Ed25519.
    Algorithm(String),
    /// A key that lies unprotected on the disk is not taken.
    NoPassphrase,
    WrongPassphrase,
    /// Opening it would take far too long; no honest tool makes such a file.
    TooManyRounds {
        rounds: u32,
    },
    PassphraseShort {
        characters: usize,
    },
    Failed(String),
}

/// A passphrase has at least so many characters.
const MIN_PASSPHRASE: usize = 8;

impl SecretKey {
    /// Draws a new key.
    pub fn new() -> Result<SecretKey, KeyError> {
        PrivateKey::random(&mut OsRng, Algorithm::Ed25519)
            .map_err(|error| KeyError::Failed(error.to_string()))
            .and_then(SecretKey::of)
    }

    /// The key of a given seed: for tests against published values.
    pub fn from_seed(seed: &[u8; 32]) -> Result<SecretKey, KeyError> {
        let pair = KeypairData::from(Ed25519Keypair::from_seed(seed));
        PrivateKey::new(pair, "").map_err(|error| KeyError::Failed(error.to_string())).and_then(SecretKey::of)
    }

    fn of(key: PrivateKey) -> Result<SecretKey, KeyError> {
        if key.algorithm() != Algorithm::Ed25519 {
            return Err(KeyError::Algorithm(key.algorithm().to_string()));
        }
        let public = without_comment(key.public_key())?;
        Ok(SecretKey { key, public })
    }

    /// Reads a key file, of this program or of `ssh-keygen`.
    ///
    /// # Errors
    /// No OpenSSH key, not Ed25519, not protected by a passphrase, or another passphrase.
    pub fn unlock(file: &[u8], passphrase: &str) -> Result<SecretKey, KeyError> {
        let locked = PrivateKey::from_openssh(file).map_err(|error| KeyError::NoKey(error.to_string()))?;
        if !locked.is_encrypted() {
            return Err(KeyError::NoPassphrase);
        }
        if let Kdf::Bcrypt { rounds, .. } = locked.kdf()
            && *rounds > MAX_ROUNDS
        {
            return Err(KeyError::TooManyRounds { rounds: *rounds });
        }
        SecretKey::of(locked.decrypt(passphrase).map_err(|_| KeyError::WrongPassphrase)?)
    }

    /// The key file: OpenSSH's form, encrypted; `comment` says whose it is.
    ///
    /// # Errors
    /// The passphrase is too short, or the system has no random numbers to give.
    pub fn lock(&self, passphrase: &str, comment: &str) -> Result<String, KeyError> {
        let characters = passphrase.chars().count();
        if characters < MIN_PASSPHRASE {
            return Err(KeyError::PassphraseShort { characters });
        }
        let failed = |error: ssh_key::Error| KeyError::Failed(error.to_string());
        let mut key = self.key.clone();
        key.set_comment(comment);
        let mut salt = vec![0; SALT_LEN];
        OsRng.fill_bytes(&mut salt);
        let check = OsRng.next_u32();
        let kdf = Kdf::Bcrypt { salt, rounds: ROUNDS };
        let locked = key.encrypt_with(Cipher::Aes256Ctr, kdf, check, passphrase).map_err(failed)?;
        Ok(locked.to_openssh(LineEnding::LF).map_err(failed)?.to_string())
    }

    /// `ssh-ed25519 AAAA…`, without a comment.
    pub fn public_line(&self) -> &str {
        &self.public
    }

    /// A detached signature in OpenSSH's form.
    ///
    /// # Errors
    /// The key cannot sign.
    pub fn sign(&self, namespace: &str, text: &[u8]) -> Result<String, KeyError> {
        self.key
            .sign(namespace, HashAlg::Sha512, text)
            .and_then(|signature| signature.to_pem(LineEnding::LF))
            .map_err(|error| KeyError::Failed(error.to_string()))
    }
}

/// The line of a public key as the register keeps it: algorithm and key, no comment.
///
/// # Errors
/// No OpenSSH public key, or not Ed25519.
pub fn public_key_line(text: &str) -> Result<String, KeyError> {
    let key = PublicKey::from_openssh(text.trim()).map_err(|error| KeyError::NoKey(error.to_string()))?;
    if key.algorithm() != Algorithm::Ed25519 {
        return Err(KeyError::Algorithm(key.algorithm().to_string()));
    }
    without_comment(&key)
}

fn without_comment(key: &PublicKey) -> Result<String, KeyError> {
    PublicKey::new(key.key_data().clone(), "")
        .to_openssh()
        .map(|line| line.trim_end().to_string())
        .map_err(|error| KeyError::Failed(error.to_string()))
}

impl fmt::Debug for SecretKey {
    /// Never shows the secret.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "SecretKey({})", self.public)
    }
}

impl fmt::Display for KeyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            KeyError::NoKey(why) => f.write_str(&say!("this is no key in OpenSSH's form ({why})", why = why)),
            KeyError::Algorithm(found) => f.write_str(&say!(
                "the key is {found}; only ssh-ed25519 keys sign here",
                found = found
            )),
            KeyError::NoPassphrase => f.write_str(
                say!("the key is not protected by a passphrase: whoever copies the file could sign; \
                 give it one with: ssh-keygen -p -f FILE"),
            ),
            KeyError::WrongPassphrase => f.write_str(say!("the passphrase does not open this key")),
            KeyError::TooManyRounds { rounds } => f.write_str(&say!(
                "the key file asks for {rounds} rounds of passphrase derivation, more than {most}; take another key, \
                 or lower them with: ssh-keygen -p -a 64 -f FILE",
                rounds = rounds,
                most = MAX_ROUNDS
            )),
            KeyError::PassphraseShort { characters } => f.write_str(&say!(
                "the passphrase has {characters} characters and needs at least {least}; a few words are easiest",
                characters = characters,
                least = MIN_PASSPHRASE
            )),
            KeyError::Failed(why) => f.write_str(&say!("the key cannot be used: {why}", why = why)),
        }
    }
}

impl std::error::Error for KeyError {}
