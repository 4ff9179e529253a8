//! The known word that was most likely meant.

/// The longest list of known words that is told in full.
const MOST_TOLD: usize = 40;

/// What to do about an unknown word: the nearest known one, if one is near, and all of them unless they are many.
pub fn nearest_remedy(found: &str, known: &[&str]) -> String {
    let nearest = known
        .iter()
        .map(|word| (strsim::jaro_winkler(&found.to_lowercase(), &word.to_lowercase()), word))
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|one, other| one.0.total_cmp(&other.0))
        .map(|(_, word)| format!("Did you mean `{word}`?"));
    let all = (known.len() <= MOST_TOLD).then(|| format!("Known here: {}", known.join(", ")));
    [nearest, all].into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// The known word of which `found` is a slip of the pen: at most two letters wrong, missing, surplus or swapped.
pub fn slip_of<'w>(found: &str, known: &[&'w str]) -> Option<&'w str> {
    known.iter().copied().find(|word| (1..=2).contains(&strsim::damerau_levenshtein(found, word)))
}
