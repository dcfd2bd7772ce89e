//! The list of figures as CSV (RFC 4180): one line for each figure of each attempt, out and in again. The drives
//! themselves do not fit into a table; an import of one brings entries whose drive is not here.

use super::Logbook;
use super::adding::insert;
use super::entry::{Entry, Figure, Reference, When};
use super::error::{LogbookCause, LogbookError};
use super::exchange::{Imported, all_entries, figures, is_id, unsound};
use super::keeping::write_new;
use std::collections::BTreeMap;
use std::fs::File;
use std::io::BufReader;
use std::path::Path;

/// The columns.
const HEAD: [&str; 13] = [
    "attempt",
    "when",
    "pupil",
    "field",
    "aircraft",
    "exercise",
    "plan",
    "physics_version",
    "attempt_duration_s",
    "figure",
    "value",
    "reference",
    "source",
];

fn system(e: csv::Error) -> std::io::Error {
    std::io::Error::other(e.to_string())
}

impl Logbook {
    /// Writes the figures of every attempt as CSV into a new file. Gives the number of attempts.
    ///
    /// # Errors
    /// The file and the cause; a file that is there already is left alone.
    pub fn export_csv(&self, to: &Path) -> Result<u64, LogbookError> {
        const DOING: &str = "exporting";
        let failed = LogbookError::database(&self.path, DOING);
        let view = self.connection.unchecked_transaction().map_err(&failed)?;
        let entries = all_entries(&view).map_err(&failed)?;
        write_new(to, DOING, |out| {
            let told = LogbookError::system(to, DOING);
            let mut table = csv::WriterBuilder::new()
                .terminator(csv::Terminator::CRLF)
                .from_writer(out);
            table.write_record(HEAD).map_err(|e| told(system(e)))?;
            for (entry, row) in &entries {
                for f in figures(&view, *row).map_err(&failed)? {
                    table.write_record(line(entry, &f)).map_err(|e| told(system(e)))?;
                }
            }
            table.flush().map_err(&told)
        })?;
        Ok(entries.len() as u64)
    }

    /// Takes in the attempts of a CSV file that are not here yet, with their figures and without the drives: all of them or,
    /// when anything is not in order, nothing. What is here already stays as it is.
    ///
    /// # Errors
    /// The file, the row and the cause.
    pub fn import_csv(&mut self, from: &Path) -> Result<Imported, LogbookError> {
        const DOING: &str = "importing";
        let file = File::open(from).map_err(LogbookError::system(from, DOING))?;
        let list = read(from, file)?;
        self.change(DOING, |all, path| {
            let mut counts = Imported::default();
            for (place, entry, figures) in &list {
                let added = insert(all, path, entry, figures, None).map_err(|e| match e.cause {
                    LogbookCause::Database(_) => e,
                    _ => unsound(from, place, e.why()),
                })?;
                counts.count(&added);
            }
            Ok(counts)
        })
    }
}

fn line(entry: &Entry, f: &Figure) -> [String; 13] {
    let known = |text: &Option<String>| text.clone().unwrap_or_default();
    [
        entry.id.clone(),
        entry.when.to_string(),
        entry.pupil.clone(),
        known(&entry.field),
        entry.aircraft.clone(),
        known(&entry.exercise),
        known(&entry.plan),
        entry.physics_version.to_string(),
        entry.duration_s.to_string(),
        f.key.clone(),
        f.value.to_string(),
        f.reference.word().to_string(),
        f.source.clone(),
    ]
}

/// Every attempt of the table in the order of its first row: that row, the entry and its figures.
type Table = Vec<(String, Entry, Vec<Figure>)>;

fn read(from: &Path, file: File) -> Result<Table, LogbookError> {
    let shape = |e: csv::Error| unsound(from, "the table", e.to_string());
    let mut reader = csv::Reader::from_reader(BufReader::new(file));
    let head = reader.headers().map_err(shape)?;
    if head.iter().ne(HEAD) {
        let why = format!("its first row must be {}", HEAD.join(","));
        return Err(unsound(from, "row 1", why));
    }
    let mut list: Table = Vec::new();
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    for (n, record) in reader.records().enumerate() {
        let record = record.map_err(shape)?;
        // As a spreadsheet counts: the first row holds the names of the columns.
        let place = format!("row {}", n + 2);
        let (entry, figure) = of_line(&record).map_err(|why| unsound(from, &place, why))?;
        let at = *places.entry(entry.id.clone()).or_insert(list.len());
        match list.get_mut(at) {
            None => list.push((place, entry, vec![figure])),
            Some((first, known, figures)) => {
                if *known != entry {
                    let why = format!("what it says of attempt {} differs from {first}", entry.id);
                    return Err(unsound(from, &place, why));
                }
                figures.push(figure);
            }
        }
    }
    Ok(list)
}

fn of_line(record: &csv::StringRecord) -> Result<(Entry, Figure), String> {
    let text = |i: usize| record.get(i).unwrap_or_default().to_string();
    let known = |i: usize| Some(text(i)).filter(|t| !t.is_empty());
    let number = |i: usize| {
        let value = text(i).parse::<f64>().ok().filter(|v| v.is_finite());
        value.ok_or_else(|| format!("{} \"{}\" is not a number", HEAD[i], text(i)))
    };
    if !is_id(&text(0)) {
        return Err(format!("attempt \"{}\" is not 32 hexadecimal digits", text(0)));
    }
    let entry = Entry {
        id: text(0),
        when: When::parse(&text(1))?,
        pupil: text(2),
        field: known(3),
        aircraft: text(4),
        exercise: known(5),
        plan: known(6),
        physics_version: text(7)
            .parse()
            .map_err(|_| format!("physics_version \"{}\" is not a whole number", text(7)))?,
        duration_s: number(8)?,
    };
    let figure = Figure {
        key: text(9),
        value: number(10)?,
        reference: Reference::of_word(&text(11)).ok_or_else(|| {
            format!(
                "reference \"{}\" is none of: published, common practice, ours",
                text(11)
            )
        })?,
        source: text(12),
    };
    Ok((entry.tidy(), figure))
}
