//! The table by which the words and codes of lists become kinds of target.

use crate::catalogue::Kind;

/// What lists call the kinds, without case, spaces, hyphens and points. Trade words, and the codes of open catalogues such as
/// the NGC/IC data sets; a mapping can add to them.
pub const KIND_WORDS: [(&str, Kind); 92] = [
    ("star", Kind::Star),
    ("*", Kind::Star),
    ("st", Kind::Star),
    ("singlestar", Kind::Star),
    ("variablestar", Kind::Star),
    ("var", Kind::Star),
    ("v*", Kind::Star),
    ("carbonstar", Kind::Star),
    ("nova", Kind::Star),
    ("doublestar", Kind::DoubleStar),
    ("double", Kind::DoubleStar),
    ("binary", Kind::DoubleStar),
    ("binarystar", Kind::DoubleStar),
    ("multiplestar", Kind::DoubleStar),
    ("triplestar", Kind::DoubleStar),
    ("triple", Kind::DoubleStar),
    ("**", Kind::DoubleStar),
    ("***", Kind::DoubleStar),
    ("ds", Kind::DoubleStar),
    ("dbl", Kind::DoubleStar),
    ("opencluster", Kind::OpenCluster),
    ("cluster", Kind::OpenCluster),
    ("starcluster", Kind::OpenCluster),
    ("oc", Kind::OpenCluster),
    ("ocl", Kind::OpenCluster),
    ("opc", Kind::OpenCluster),
    ("cl*", Kind::OpenCluster),
    ("association", Kind::OpenCluster),
    ("*ass", Kind::OpenCluster),
    ("ass", Kind::OpenCluster),
    ("asterism", Kind::OpenCluster),
    ("ast", Kind::OpenCluster),
    ("globularcluster", Kind::GlobularCluster),
    ("globular", Kind::GlobularCluster),
    ("gc", Kind::GlobularCluster),
    ("gcl", Kind::GlobularCluster),
    ("glc", Kind::GlobularCluster),
    ("glob", Kind::GlobularCluster),
    ("planetarynebula", Kind::PlanetaryNebula),
    ("planetary", Kind::PlanetaryNebula),
    ("pn", Kind::PlanetaryNebula),
    ("pln", Kind::PlanetaryNebula),
    ("pneb", Kind::PlanetaryNebula),
    ("nebula", Kind::Nebula),
    ("brightnebula", Kind::Nebula),
    ("diffusenebula", Kind::Nebula),
    ("emissionnebula", Kind::Nebula),
    ("reflectionnebula", Kind::Nebula),
    ("hiiregion", Kind::Nebula),
    ("neb", Kind::Nebula),
    ("nb", Kind::Nebula),
    ("bn", Kind::Nebula),
    ("en", Kind::Nebula),
    ("emn", Kind::Nebula),
    ("rn", Kind::Nebula),
    ("rfn", Kind::Nebula),
    ("rneb", Kind::Nebula),
    ("eneb", Kind::Nebula),
    ("hii", Kind::Nebula),
    ("h2", Kind::Nebula),
    ("er", Kind::Nebula),
    ("cl+n", Kind::Nebula),
    ("c+n", Kind::Nebula),
    ("ocn", Kind::Nebula),
    ("clusterwithnebula", Kind::Nebula),
    ("clusterwithnebulosity", Kind::Nebula),
    ("supernovaremnant", Kind::SupernovaRemnant),
    ("snr", Kind::SupernovaRemnant),
    ("remnant", Kind::SupernovaRemnant),
    ("galaxy", Kind::Galaxy),
    ("spiralgalaxy", Kind::Galaxy),
    ("ellipticalgalaxy", Kind::Galaxy),
    ("lenticulargalaxy", Kind::Galaxy),
    ("irregulargalaxy", Kind::Galaxy),
    ("g", Kind::Galaxy),
    ("gx", Kind::Galaxy),
    ("gal", Kind::Galaxy),
    ("gpair", Kind::Galaxy),
    ("gtrpl", Kind::Galaxy),
    ("ggroup", Kind::Galaxy),
    ("galaxypair", Kind::Galaxy),
    ("galaxytriplet", Kind::Galaxy),
    ("galaxygroup", Kind::Galaxy),
    ("clg", Kind::Galaxy),
    ("galaxycluster", Kind::Galaxy),
    ("quasar", Kind::Galaxy),
    ("qso", Kind::Galaxy),
    ("darknebula", Kind::DarkNebula),
    ("dark", Kind::DarkNebula),
    ("dn", Kind::DarkNebula),
    ("drkn", Kind::DarkNebula),
    ("dneb", Kind::DarkNebula),
];

/// Words for entries that are no target of their own, with what they mean.
const NO_TARGET: [(&str, &str); 8] = [
    ("dup", "the list calls it a duplicate of another entry"),
    ("duplicate", "the list calls it a duplicate of another entry"),
    ("nonex", "the list says that nothing is there"),
    ("nonexistent", "the list says that nothing is there"),
    ("moon", "the Moon has no fixed place"),
    ("planet", "a planet has no fixed place"),
    ("sun", "the Sun can't be a target of a public evening"),
    ("comet", "a comet has no fixed place: bring in its elements"),
];

/// What became of a kind's word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum KindWord {
    Known(Kind),
    /// No target, for this reason.
    NoTarget(&'static str),
    Unknown,
}

/// Looks a word up, first among those that a mapping adds.
pub(super) fn kind_word(word: &str, added: &[(String, Kind)]) -> KindWord {
    let folded = folded(word);
    if let Some((_, kind)) = added.iter().find(|(added, _)| self::folded(added) == folded) {
        return KindWord::Known(*kind);
    }
    if let Some((_, kind)) = KIND_WORDS.iter().find(|(known, _)| *known == folded) {
        return KindWord::Known(*kind);
    }
    let none = NO_TARGET.iter().find(|(known, _)| *known == folded);
    none.map_or(KindWord::Unknown, |(_, reason)| KindWord::NoTarget(reason))
}

fn folded(word: &str) -> String {
    word.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_' | '.'))
        .flat_map(char::to_lowercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::{KIND_WORDS, KindWord, folded, kind_word};
    use crate::catalogue::Kind;

    #[test]
    fn every_word_stands_once_and_in_its_folded_form() {
        let words: HashSet<&str> = KIND_WORDS.iter().map(|(word, _)| *word).collect();
        assert_eq!(words.len(), KIND_WORDS.len());
        assert!(KIND_WORDS.iter().all(|(word, _)| folded(word) == *word));
    }

    #[test]
    fn our_own_words_and_codes_of_the_trade_are_known() {
        for kind in
            Kind::ALL.into_iter().filter(|kind| !matches!(kind, Kind::Moon | Kind::Planet | Kind::Comet))
        {
            assert_eq!(kind_word(&format!("{kind:?}"), &[]), KindWord::Known(kind));
        }
        assert_eq!(kind_word("Gx", &[]), KindWord::Known(Kind::Galaxy));
        assert_eq!(kind_word("Open cluster", &[]), KindWord::Known(Kind::OpenCluster));
        assert_eq!(kind_word("Gx", &[("GX".into(), Kind::Star)]), KindWord::Known(Kind::Star));
        assert_eq!(kind_word("Other", &[]), KindWord::Unknown);
        assert!(matches!(kind_word("Dup", &[]), KindWord::NoTarget(_)));
    }
}
