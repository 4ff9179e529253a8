//! Words for the public that are true of every target of a kind, until the astronomer writes better ones.

use super::{Kind, Words};

/// The words of a kind. Common knowledge of the trade, no source; nothing in them depends on the single target.
pub fn usual_words(kind: Kind) -> Words {
    let [line, comparison, look_for, cue] = usual_texts(kind).map(str::to_owned);
    Words { line, comparison, look_for, cue }
}

/// Line, comparison, what to look for and cue of a kind.
pub(super) fn usual_texts(kind: Kind) -> [&'static str; 4] {
    match kind {
        Kind::Moon => [
            "Our nearest neighbour in space.",
            "Light comes from there in little more than a second.",
            "shadows along the line between day and night",
            "Look along the line of shadow.",
        ],
        Kind::Planet => [
            "A world that circles the Sun, as ours does.",
            "It shines by sunlight, as the Earth does.",
            "a disc where a star would be a point",
            "A disc, not a star.",
        ],
        Kind::Star => [
            "A star: a sun of its own.",
            "Our Sun would look like this from far away.",
            "its colour",
            "What colour is it?",
        ],
        Kind::DoubleStar => [
            "Two stars that look like one to the naked eye.",
            "Our Sun stands alone; many stars do not.",
            "the gap between the two",
            "How many stars do you see?",
        ],
        Kind::OpenCluster => [
            "A group of stars.",
            "Our Sun, too, was born among others.",
            "the brightest star, and its colour",
            "Find the brightest star.",
        ],
        Kind::GlobularCluster => [
            "A ball of very many old stars.",
            "Stars stand far closer together there than round our Sun.",
            "single stars at the edge of the ball",
            "Wait: single stars will come.",
        ],
        Kind::PlanetaryNebula => [
            "Gas that an old star has thrown off.",
            "Our Sun may look like this in some billions of years.",
            "its shape",
            "Look beside it to see it.",
        ],
        Kind::Nebula => [
            "A cloud of gas and dust that shines or is lit.",
            "Stars are made of clouds like this one.",
            "where the cloud is brightest",
            "Look beside it to see it.",
        ],
        Kind::SupernovaRemnant => [
            "What is left of a star that blew up.",
            "Much of the iron in our blood was made in stars that ended so.",
            "its ragged edge",
            "Look beside it to see it.",
        ],
        Kind::Galaxy => [
            "An island of stars far outside our own.",
            "From there, our Milky Way would look like such a smudge.",
            "how far its faint light reaches from the middle",
            "Give your eye half a minute.",
        ],
        Kind::DarkNebula => [
            "A cloud of dust that hides the stars behind it.",
            "Stars are made of clouds like this one.",
            "a place with hardly a star in it",
            "Look for what is missing.",
        ],
        Kind::Comet => [
            "A ball of ice and dust that the Sun warms.",
            "It comes from far out and goes back there.",
            "which way its light fades: away from the Sun",
            "Look for the bright middle first.",
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::usual_words;
    use crate::catalogue::Kind;

    #[test]
    fn they_fit_a_catalogue() {
        for kind in Kind::ALL {
            let words = usual_words(kind);
            assert!(
                words.line.len() <= 90 && words.comparison.len() <= 90 && words.look_for.len() <= 80,
                "{kind:?}"
            );
            assert!(words.cue.split_whitespace().count() <= 7, "{kind:?}");
        }
    }
}
