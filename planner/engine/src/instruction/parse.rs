//! The reader: recursive descent over the words, so that every message can say which word it stumbled on and what it
//! expected there.

use super::error::{InstructionError, MOST_CHARS, Trouble};
use super::words::{self, Kind, Word};
use super::{Instruction, SaidName, SaidRunway, Short, Step};
use core::ops::Range;

/// Words that end a name.
pub(super) const KEYS: [&str; 24] = [
    "taxi",
    "taxiing",
    "to",
    "the",
    "via",
    "hold",
    "short",
    "of",
    "cross",
    "runway",
    "runways",
    "holding",
    "at",
    "on",
    "then",
    "and",
    "taxiway",
    "taxiways",
    "backtrack",
    "along",
    "continue",
    "cleared",
    "line",
    "stand",
];

/// Words that begin a remark: understood, shown, and not planned.
pub(super) const REMARKS: [&str; 21] = [
    "give",
    "giving",
    "behind",
    "follow",
    "following",
    "after",
    "before",
    "when",
    "caution",
    "expedite",
    "contact",
    "monitor",
    "report",
    "squawk",
    "qnh",
    "altimeter",
    "wind",
    "information",
    "time",
    "number",
    "be",
];

/// What may begin a part of the instruction.
pub(super) const PARTS: &str = "\"taxi to\", \"runway\", \"via\", \"hold short of\", \"cross\" or \"backtrack\"";
pub(super) const A_RUNWAY: &str = "a runway such as 27, 27L, \"two seven left\" or 09/27";
const A_NAME: &str = "a taxiway such as B, B2 or \"Bravo 2\"";
const A_HOLD: &str = "a holding position such as A1 or \"Alfa one\"";

/// Reads a taxi instruction: ICAO order ("taxi to holding point A1 runway 27 via B, C, hold short of runway 18") or FAA
/// order ("runway 27, taxi via B, C, hold short of runway 18 at C"); letters and figures as such or spelled; letter case
/// and punctuation as you like.
///
/// # Errors
/// The first word that does not fit, with what was expected in its place.
pub fn read(text: &str) -> Result<Instruction, InstructionError> {
    let count = text.chars().count();
    let words = words::words(text);
    let empty = !words.iter().any(|w| matches!(w.kind, Kind::Word | Kind::Odd));
    if empty || count > MOST_CHARS {
        let n = if empty { 0 } else { count };
        return Err(InstructionError::new(text, 0..0, Trouble::Length(n)));
    }
    let mut parser = Parser {
        text,
        words,
        next: 0,
        out: Instruction {
            text: text.to_string(),
            holding_point: None,
            runway: None,
            runway_on: None,
            steps: Vec::new(),
            remarks: Vec::new(),
        },
        loose_runway: None,
        via: false,
    };
    parser.all()?;
    Ok(parser.out)
}

pub(super) struct Parser<'a> {
    pub(super) text: &'a str,
    pub(super) words: Vec<Word>,
    pub(super) next: usize,
    pub(super) out: Instruction,
    /// Number of the step that is a runway said by itself: part of the way when more of the way follows, else the runway
    /// assigned.
    loose_runway: Option<usize>,
    /// Whether the letters of the way have begun, so that a name by itself goes on with them.
    pub(super) via: bool,
}

pub(super) type Read<T> = Result<T, InstructionError>;

/// Whether a word looks like a taxiway or a holding position: B, Bravo, B2, AB12.
pub(super) fn name_like(word: &str) -> bool {
    let letters = word.chars().take_while(char::is_ascii_alphabetic).count();
    let figures = word.chars().skip(letters).take_while(char::is_ascii_digit).count();
    let rest = word.chars().count() - letters - figures;
    words::letter(word).is_some()
        || word.chars().count() == 1
        || (1..=2).contains(&letters) && (1..=3).contains(&figures) && rest <= 1
}

fn number_like(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit()) || words::figure(word).is_some()
}

/// The word of ours that was probably meant.
pub(super) fn meant(word: &str) -> Option<&'static str> {
    let likeness = |k: &str| (strsim::jaro_winkler(word, k) * 1000.0).round() as i64;
    let all = KEYS.iter().filter(|k| k.len() > 2);
    let best = all.max_by_key(|k| likeness(k))?;
    (word.chars().count() > 2 && likeness(best) >= 880).then_some(*best)
}

impl Parser<'_> {
    pub(super) fn word(&self, ahead: usize) -> Option<&Word> {
        self.words.get(self.next + ahead)
    }

    /// The word at hand, or nothing when it is a mark or the end.
    pub(super) fn peek(&self) -> &str {
        self.peek_at(0)
    }

    pub(super) fn peek_at(&self, ahead: usize) -> &str {
        match self.word(ahead) {
            Some(w) if w.kind == Kind::Word => &w.text,
            _ => "",
        }
    }

    /// Takes the word when it is one of these.
    pub(super) fn take(&mut self, any: &[&str]) -> bool {
        let found = !self.peek().is_empty() && any.contains(&self.peek());
        self.next += usize::from(found);
        found
    }

    pub(super) fn place(&self) -> Range<usize> {
        self.word(0).map_or(self.text.len()..self.text.len(), |w| w.at.clone())
    }

    pub(super) fn last_end(&self) -> usize {
        self.words[self.next - 1].at.end
    }

    pub(super) fn fail<T>(&self, trouble: Trouble) -> Read<T> {
        Err(InstructionError::new(self.text, self.place(), trouble))
    }

    /// Expected something else than the word at hand.
    pub(super) fn expected<T>(&self, what: &str) -> Read<T> {
        let hint = match self.peek() {
            "" => None,
            word => meant(word),
        };
        let hint = hint.map(|m| format!("; did you mean \"{m}\"?")).unwrap_or_default();
        self.fail(Trouble::Expected(format!("{what}{hint}")))
    }

    fn all(&mut self) -> Read<()> {
        while self.next < self.words.len() {
            let kind = self.words[self.next].kind;
            if matches!(kind, Kind::Break | Kind::Callsign) {
                self.next += 1;
            } else if matches!(kind, Kind::Odd | Kind::Slash) {
                return self.expected(PARTS);
            } else if !self.take(&["then", "and", "the"]) {
                self.part()?;
            }
        }
        if let Some(k) = self.loose_runway
            && self.out.runway.is_none()
            && let Step::Along { runway, .. } = self.out.steps[k].clone()
        {
            self.out.steps.remove(k);
            self.out.runway = Some(runway);
        }
        let said = &self.out;
        if said.steps.is_empty() && said.runway.is_none() && said.holding_point.is_none() {
            return self.expected(PARTS);
        }
        Ok(())
    }

    fn part(&mut self) -> Read<()> {
        let start = self.place().start;
        match self.peek() {
            "taxi" | "taxiing" | "continue" => {
                self.next += 1;
                self.take(&["taxi", "taxiing"]);
                if self.take(&["to"]) {
                    self.limit()?;
                } else if !matches!(self.peek(), "via" | "along" | "runway" | "on") {
                    let at_break = self.word(0).is_none_or(|w| w.kind == Kind::Break);
                    if !at_break && !REMARKS.contains(&self.peek()) {
                        return self.expected("\"to\", \"via\" or \"runway\" after \"taxi\"");
                    }
                }
                Ok(())
            }
            "to" => {
                self.next += 1;
                self.limit()
            }
            "holding" => self.limit(),
            "via" | "along" | "on" => {
                self.next += 1;
                self.via = true;
                self.lane()
            }
            "taxiway" | "taxiways" if self.via => self.lane(),
            "backtrack" => {
                self.next += 1;
                self.take(&["on"]);
                self.take(&["the"]);
                if !self.take(&["runway"]) && !number_like(self.peek()) {
                    return self.expected("\"runway\" after \"backtrack\"");
                }
                let runway = self.runway()?;
                self.via = true;
                self.step(Step::Along {
                    runway,
                    backtrack: true,
                });
                Ok(())
            }
            "runway" => {
                self.next += 1;
                self.take(&["is"]);
                let runway = self.runway()?;
                if self.via {
                    self.step(Step::Along {
                        runway,
                        backtrack: false,
                    });
                    self.loose_runway = Some(self.out.steps.len() - 1);
                    return Ok(());
                }
                self.assign(runway)
            }
            "hold" => self.hold(start),
            "cross" => self.cross(start),
            "cleared" => self.fail(Trouble::NotDone(
                "\"cleared\" is no word of a taxi instruction (FAA AIM 4-3-18); say \"taxi\"".into(),
            )),
            "line" => self.fail(Trouble::NotDone(
                "understood, but not planned: the way ends at the holding position, before lining up".into(),
            )),
            "stand" => self.fail(Trouble::NotDone(
                "understood, but not planned: the way of an instruction goes to a runway or a holding position".into(),
            )),
            word if REMARKS.contains(&word) => {
                self.remark(start);
                Ok(())
            }
            word if self.via && (name_like(word) || meant(word).is_none() && !KEYS.contains(&word)) => self.lane(),
            _ => self.expected(PARTS),
        }
    }

    /// Adds a step; more of the way makes a runway said by itself before it part of the way.
    fn step(&mut self, step: Step) {
        if matches!(step, Step::Via(_) | Step::Along { .. }) {
            self.loose_runway = None;
        }
        self.out.steps.push(step);
    }

    fn assign(&mut self, runway: SaidRunway) -> Read<()> {
        if let Some(before) = &self.out.runway
            && before.designators != runway.designators
        {
            let why = format!("a second runway to taxi to, after \"{}\"", self.out.words(&before.at));
            return Err(InstructionError::new(self.text, runway.at, Trouble::Against(why)));
        }
        self.out.runway = Some(runway);
        if self.take(&["at", "on"]) {
            self.take(&["taxiway"]);
            self.out.runway_on = Some(self.name(A_NAME)?);
        }
        Ok(())
    }

    /// What comes after "to": a holding position, a runway, or both.
    fn limit(&mut self) -> Read<()> {
        let mut any = false;
        loop {
            self.take(&["the"]);
            if self.peek() == "holding" {
                self.next += 1;
                if !self.take(&["point", "position"]) {
                    return self.expected("\"point\" or \"position\" after \"holding\"");
                }
                if self.peek() != "runway" {
                    self.hold_name()?;
                }
            } else if self.take(&["runway"]) {
                let runway = self.runway()?;
                self.assign(runway)?;
            } else if !any && name_like(self.peek()) {
                self.hold_name()?;
            } else if matches!(self.peek(), "stand" | "parking" | "gate" | "ramp" | "apron") {
                return self.fail(Trouble::NotDone(
                    "understood, but not planned: the way of an instruction goes to a runway or a holding position"
                        .into(),
                ));
            } else if any {
                return Ok(());
            } else {
                return self.expected("\"holding point\" or \"runway\" after \"to\"");
            }
            any = true;
        }
    }

    fn hold_name(&mut self) -> Read<()> {
        let name = self.name(A_HOLD)?;
        if let Some(before) = &self.out.holding_point
            && before.pieces != name.pieces
        {
            let why = format!("a second place to taxi to, after \"{}\"", self.out.words(&before.at()));
            return Err(InstructionError::new(self.text, name.at(), Trouble::Against(why)));
        }
        self.out.holding_point = Some(name);
        Ok(())
    }

    /// One piece of the way: a taxiway, or a runway to roll along.
    fn lane(&mut self) -> Read<()> {
        self.take(&["the"]);
        let step = if self.take(&["runway"]) {
            Step::Along {
                runway: self.runway()?,
                backtrack: false,
            }
        } else {
            self.take(&["taxiway", "taxiways"]);
            Step::Via(self.name(A_NAME)?)
        };
        self.step(step);
        Ok(())
    }

    fn hold(&mut self, start: usize) -> Read<()> {
        self.next += 1;
        if self.peek() == "position" {
            return self.fail(Trouble::NotDone(
                "\"hold position\" means stop where you are: there is no way to plan in it".into(),
            ));
        }
        let of = if self.take(&["at"]) {
            self.take(&["the"]);
            if self.take(&["holding"]) {
                self.take(&["point", "position"]);
            }
            Short::Named(self.name(A_HOLD)?)
        } else if self.take(&["short"]) {
            self.take(&["of"]);
            self.take(&["the"]);
            if self.take(&["runway"]) || number_like(self.peek()) {
                Short::Runway(self.runway()?)
            } else {
                if self.take(&["holding"]) {
                    self.take(&["point", "position"]);
                } else {
                    self.take(&["taxiway"]);
                }
                Short::Named(self.name("a runway, a taxiway or a holding position")?)
            }
        } else {
            return self.expected("\"short of\" or \"at\" after \"hold\"");
        };
        let on = self.on_taxiway()?;
        let at = start..self.last_end();
        self.step(Step::HoldShort { of, on, at });
        Ok(())
    }

    fn cross(&mut self, start: usize) -> Read<()> {
        self.next += 1;
        self.take(&["the"]);
        if matches!(self.peek(), "taxiway" | "taxiways") {
            // Needs no word from anyone, so it is a remark.
            self.remark(start);
            return Ok(());
        }
        let mut start = start;
        loop {
            if !self.take(&["runway", "runways"]) && !number_like(self.peek()) {
                return self.expected("\"runway\" after \"cross\"");
            }
            let runway = self.runway()?;
            let on = self.on_taxiway()?;
            let at = start..self.last_end();
            self.step(Step::Cross { runway, on, at });
            // "cross runway 18 left and runway 18 right"
            let more = self.peek() == "and" && (self.peek_at(1) == "runway" || number_like(self.peek_at(1)));
            if !more {
                return Ok(());
            }
            self.next += 1;
            start = self.place().start;
        }
    }

    fn on_taxiway(&mut self) -> Read<Option<SaidName>> {
        if !self.take(&["at", "on"]) {
            return Ok(None);
        }
        self.take(&["taxiway"]);
        self.name(A_NAME).map(Some)
    }
}
