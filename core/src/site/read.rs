//! RON to a site: strict, every fault with its place.

use super::Site;
use crate::reading::Faults;

/// The first line of a site file says this.
pub const SITE_FORMAT: &str = "evenfall-site/1";

/// Reads a site.
///
/// # Errors
/// All faults found.
pub fn read_site(file: &str, text: &str) -> Result<Site, Faults> {
    todo!()
}
