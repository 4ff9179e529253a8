//! What is found by trying, kept from frame to frame as long as what it is found from is the same.

use std::fmt::Debug;
use std::hash::Hash;
use std::sync::Arc;

use egui::{Context, Id};

/// The value found from `from`, with that: the one of the frame before, or found now.
///
/// * `name`: which value; there is one of each.
pub fn kept<F, V>(
    context: &Context,
    name: impl Hash + Debug,
    from: F,
    find: impl FnOnce(&F) -> V,
) -> Arc<(F, V)>
where
    F: PartialEq + Send + Sync + 'static,
    V: Send + Sync + 'static,
{
    let id = Id::unique(name);
    let known = context.data(|data| data.get_temp::<Arc<(F, V)>>(id));
    if let Some(known) = known.filter(|known| known.0 == from) {
        return known;
    }
    let value = find(&from);
    let found = Arc::new((from, value));
    context.data_mut(|data| data.insert_temp(id, Arc::clone(&found)));
    found
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use egui::Context;

    use super::kept;

    #[test]
    fn a_value_is_found_anew_when_what_it_is_found_from_changes() {
        let context = Context::default();
        let find = |from: u32| kept(&context, "doubled", from, |from| 2 * from);
        let first = find(3);
        assert!(Arc::ptr_eq(&first, &find(3)), "it is kept");
        assert_eq!((first.1, find(4).1, find(3).1), (6, 8, 6));
    }
}
