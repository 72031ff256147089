//! The clock, who this program is, and where it notes figures: read here and passed in everywhere else.

use crate::shell::desk::Desk;
use crate::shop::figures::{Figures, fingerprint};
use crate::shop::files::RealFiles;
use crate::shop::{Holder, Shop};
use std::sync::Arc;

/// Now, as logs keep it: UTC, RFC 3339, whole seconds.
pub fn now() -> String {
    let now = jiff::Timestamp::now();
    jiff::Timestamp::from_second(now.as_second()).unwrap_or(now).to_string()
}

/// Which build this is: its version, and the length and age of its file, so that no build trusts another's figures.
fn build() -> String {
    let version = env!("CARGO_PKG_VERSION");
    let file = std::env::current_exe().and_then(std::fs::metadata);
    let made = file.as_ref().ok().and_then(|file| file.modified().ok());
    let age = made.and_then(|made| made.duration_since(std::time::UNIX_EPOCH).ok()).unwrap_or_default();
    format!("{version}, {} bytes, {}", file.map_or(0, |file| file.len()), age.as_nanos())
}

/// The desk on a shop's logs, with what was noted of them in the user's cache folder.
pub fn desk(shop: &Shop) -> Desk {
    let Some(dir) = crate::shop::place::cache_dir() else { return Desk::new(shop.shelf()) };
    let whole = std::path::absolute(shop.dir()).unwrap_or_else(|_| shop.dir().to_owned());
    let name = format!("figures-{:016x}.json", fingerprint([whole.as_os_str().as_encoded_bytes()]));
    Desk::with(shop.shelf(), Figures::kept(Arc::new(RealFiles), dir.join(name), &build()))
}

/// A number that is another one each time it is asked for: the clock's nanoseconds, well below a day.
pub fn clock_number() -> u64 {
    let now = jiff::Timestamp::now();
    let nanoseconds = u64::try_from(now.subsec_nanosecond()).unwrap_or(0);
    u64::try_from(now.as_second()).unwrap_or(0).wrapping_mul(1_000_000_007).wrapping_add(nanoseconds)
}

/// What this program says of itself in the lock file.
pub fn holder() -> Holder {
    Holder { pid: std::process::id(), host: host(), since: now() }
}

fn host() -> String {
    let from_kernel = std::fs::read_to_string("/proc/sys/kernel/hostname").ok();
    let from_environment = || ["HOSTNAME", "COMPUTERNAME"].iter().find_map(|name| std::env::var(name).ok());
    let host = from_kernel.map(|host| host.trim().to_owned()).filter(|host| !host.is_empty()).or_else(from_environment);
    host.unwrap_or_else(|| "this machine".to_owned())
}
