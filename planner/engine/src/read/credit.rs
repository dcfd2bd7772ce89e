//! Credit that a map's data must be given, by what those who write GeoJSON put beside the features.

use crate::carrier::ATTRIBUTION;
use crate::clean;

/// A member of the outermost object that says where the data are from.
#[derive(Clone, Copy)]
pub(super) enum SourceMember {
    /// `attribution`.
    Attribution,
    /// `copyright`.
    Copyright,
    /// `license` or `licence`.
    Licence,
    /// `generator`: the program that wrote the file. No credit by itself.
    Generator,
}

/// What those members say.
#[derive(Default)]
pub(super) struct Said {
    /// Each sort's texts in the order of the file.
    words: [Vec<String>; 3],
    /// Whether a text, or the program that wrote the file, names the open map.
    open_map: bool,
}

/// Most texts of one sort that are kept: a sequence may say it in each of its texts.
const KEPT: usize = 8;

impl Said {
    pub(super) fn add(&mut self, which: SourceMember, text: &str) {
        let of_the_open_map = names_open_map(text);
        let list = match which {
            SourceMember::Attribution => &mut self.words[0],
            SourceMember::Copyright => &mut self.words[1],
            SourceMember::Licence => &mut self.words[2],
            SourceMember::Generator => {
                self.open_map |= of_the_open_map;
                return;
            }
        };
        self.open_map |= of_the_open_map;
        if text.trim().is_empty() || list.len() == KEPT {
            return;
        }
        let text = clean::sentence(text);
        if !list.contains(&text) {
            list.push(text);
        }
    }

    /// Takes over what another text of a sequence says.
    pub(super) fn join(&mut self, other: Said) {
        self.open_map |= other.open_map;
        for (list, more) in self.words.iter_mut().zip(other.words) {
            for text in more {
                if list.len() < KEPT && !list.contains(&text) {
                    list.push(text);
                }
            }
        }
    }

    /// The credit as it is shown: attribution, copyright and licence as the file says them. Data of the open map are credited
    /// in its own words where the file does not use them; `numbered` says that features bear the open map's numbers.
    pub(super) fn credit(self, numbered: bool) -> Option<String> {
        let open_map = self.open_map || numbered;
        let all: Vec<String> = self.words.into_iter().flatten().collect();
        let told = clean::sentence(&all.join("; "));
        if open_map && !told.to_lowercase().contains(CREDITED) {
            let others = all.into_iter().filter(|t| !names_open_map(t));
            let list: Vec<String> = core::iter::once(ATTRIBUTION.to_string()).chain(others).collect();
            return Some(clean::sentence(&list.join("; ")));
        }
        (!all.is_empty()).then_some(told)
    }
}

/// The words that the open map asks for, in small letters.
const CREDITED: &str = "openstreetmap contributors";

/// Whether a text names the open map, its query servers, or a program of its own (their names begin with its three letters).
fn names_open_map(text: &str) -> bool {
    let text: String = text.chars().take(2000).collect::<String>().to_lowercase();
    text.contains("openstreetmap")
        || text
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| word.starts_with("osm") || word == "overpass" || word == "odbl")
}

/// Whether a feature's id is one that the open map's elements bear in GeoJSON: "way/123".
pub(super) fn is_open_map_id(id: &str) -> bool {
    let number = ["node/", "way/", "relation/"].iter().find_map(|k| id.strip_prefix(k));
    number.is_some_and(|n| !n.is_empty() && n.len() < 20 && n.bytes().all(|b| b.is_ascii_digit()))
}
