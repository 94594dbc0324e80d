//! The machine's name, for telling where a record was written.

/// The host name, or "unknown machine".
pub fn device_name() -> String {
    let kernel = std::fs::read_to_string("/proc/sys/kernel/hostname").ok();
    let found =
        kernel.or_else(|| std::env::var("COMPUTERNAME").ok()).or_else(|| std::env::var("HOSTNAME").ok());
    found
        .map(|name| name.trim().to_string())
        .filter(|name| !name.is_empty())
        .unwrap_or("unknown machine".to_string())
}
