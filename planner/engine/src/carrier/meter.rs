//! A reader that stops where one piece of a text grows too long, so that no hostile piece is gathered in memory.

use core::cell::Cell;
use std::io::{BufRead, Error, Read, Result};
use std::rc::Rc;

/// What is counted.
pub(super) struct Count {
    limit: usize,
    left: Cell<usize>,
    total: Cell<u64>,
    exceeded: Cell<bool>,
}

impl Count {
    pub(super) fn new(limit: usize) -> Rc<Count> {
        Rc::new(Count {
            limit,
            left: Cell::new(limit),
            total: Cell::new(0),
            exceeded: Cell::new(false),
        })
    }

    /// A new piece begins.
    pub(super) fn anew(&self) {
        self.left.set(self.limit);
    }

    /// Bytes read so far.
    pub(super) fn total(&self) -> u64 {
        self.total.get()
    }

    /// Whether a piece was too long.
    pub(super) fn exceeded(&self) -> bool {
        self.exceeded.get()
    }

    fn take(&self, bytes: usize) {
        self.left.set(self.left.get().saturating_sub(bytes));
        self.total.set(self.total.get() + bytes as u64);
    }

    fn may(&self) -> Result<usize> {
        if self.left.get() == 0 {
            self.exceeded.set(true);
            return Err(Error::other("a piece of the file is too long"));
        }
        Ok(self.left.get())
    }
}

/// The reader.
pub(super) struct Metered<R>(pub(super) R, pub(super) Rc<Count>);

impl<R: BufRead> Read for Metered<R> {
    fn read(&mut self, into: &mut [u8]) -> Result<usize> {
        let most = self.1.may()?.min(into.len());
        let n = self.0.read(&mut into[..most])?;
        self.1.take(n);
        Ok(n)
    }
}

impl<R: BufRead> BufRead for Metered<R> {
    fn fill_buf(&mut self) -> Result<&[u8]> {
        let most = self.1.may()?;
        let bytes = self.0.fill_buf()?;
        Ok(&bytes[..bytes.len().min(most)])
    }

    fn consume(&mut self, bytes: usize) {
        self.1.take(bytes);
        self.0.consume(bytes);
    }
}
