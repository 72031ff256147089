//! The clock, and who this program is: read here and passed in everywhere else.

use crate::shop::Holder;

/// Now, as logs keep it: UTC, RFC 3339, whole seconds.
pub fn now() -> String {
    let now = jiff::Timestamp::now();
    jiff::Timestamp::from_second(now.as_second()).unwrap_or(now).to_string()
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
