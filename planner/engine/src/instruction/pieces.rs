//! The small parts that the reader meets everywhere: names, runways, remarks.

use super::error::Trouble;
use super::parse::{A_RUNWAY, KEYS, PARTS, Parser, REMARKS, Read, meant, name_like};
use super::words::{self, Kind};
use super::{SaidName, SaidRunway};

impl Parser<'_> {
    /// Passes over a remark: up to a full stop, a part of the instruction, or a comma before something that is a name.
    pub(super) fn remark(&mut self, start: usize) {
        self.next += 1;
        while let Some(w) = self.word(0) {
            let end = match w.kind {
                Kind::Break if w.text != "," => true,
                Kind::Break => {
                    let after = self.peek_at(1);
                    after == "runway" || self.via && name_like(after)
                }
                Kind::Word => match w.text.as_str() {
                    "taxi" | "via" | "cross" | "backtrack" | "then" => true,
                    "hold" => matches!(self.peek_at(1), "short" | "at"),
                    _ => false,
                },
                Kind::Callsign => true,
                Kind::Slash | Kind::Odd => false,
            };
            if end {
                break;
            }
            self.next += 1;
        }
        // A comma before a part belongs to neither.
        let mut last = self.next - 1;
        while self.words[last].kind == Kind::Break {
            last -= 1;
        }
        self.out.remarks.push(start..self.words[last].at.end);
    }

    /// A name: words up to the next mark or word of ours.
    pub(super) fn name(&mut self, what: &str) -> Read<SaidName> {
        let mut name = SaidName {
            pieces: Vec::new(),
            places: Vec::new(),
        };
        loop {
            let word = self.peek();
            let ours = KEYS.contains(&word) || REMARKS.contains(&word);
            if word.is_empty() || ours {
                break;
            }
            if !name_like(word) && words::figure(word).is_none() && meant(word).is_some() {
                return self.expected(if name.pieces.is_empty() { what } else { PARTS });
            }
            name.pieces.push(words::piece(word));
            name.places.push(self.place());
            self.next += 1;
        }
        if name.pieces.is_empty() {
            return self.expected(what);
        }
        Ok(name)
    }

    /// A runway's designator, or both with a slash between.
    pub(super) fn runway(&mut self) -> Read<SaidRunway> {
        let start = self.place().start;
        let mut designators = vec![self.designator()?];
        while self.word(0).is_some_and(|w| w.kind == Kind::Slash) {
            self.next += 1;
            designators.push(self.designator()?);
        }
        Ok(SaidRunway {
            designators,
            at: start..self.last_end(),
        })
    }

    fn designator(&mut self) -> Read<String> {
        let first = self.next;
        let mut said = String::new();
        let word = self.peek().to_string();
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            said.push_str(&word.to_uppercase());
            self.next += 1;
            // "2 7" is said figure by figure.
            if word.len() == 1 && self.peek().len() == 1 && self.peek().starts_with(|c: char| c.is_ascii_digit()) {
                said.push_str(self.peek());
                self.next += 1;
            }
        } else {
            while let Some(c) = words::figure(self.peek()).filter(|_| said.len() < 2) {
                said.push(c);
                self.next += 1;
            }
        }
        for (side, letter) in [("left", 'L'), ("right", 'R'), ("centre", 'C'), ("center", 'C')] {
            if !said.is_empty() && self.take(&[side]) {
                said.push(letter);
            }
        }
        let figures: String = said.chars().take_while(char::is_ascii_digit).collect();
        let letters = said.chars().skip(figures.len()).collect::<String>();
        let number = figures.parse::<u32>().unwrap_or(0);
        let fits = figures.len() <= 2 && letters.len() <= 1 && letters.chars().all(|c| c.is_ascii_uppercase());
        if !fits || !(1..=36).contains(&number) {
            self.next = first;
            if said.is_empty() {
                return self.expected(A_RUNWAY);
            }
            return self.fail(Trouble::Expected(format!("{A_RUNWAY}; runway numbers are 01 to 36")));
        }
        Ok(words::designator(&said))
    }
}
