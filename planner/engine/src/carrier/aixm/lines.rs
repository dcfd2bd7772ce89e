//! Which line of a text is being read.

use core::cell::Cell;
use std::io::{BufRead, Read};
use std::rc::Rc;

/// A reader that counts line ends.
pub(super) struct Lines<R>(pub(super) R, pub(super) Rc<Cell<u64>>);

impl<R: BufRead> Read for Lines<R> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        let n = self.0.read(into)?;
        self.count(n, into);
        Ok(n)
    }
}

impl<R: BufRead> BufRead for Lines<R> {
    fn fill_buf(&mut self) -> std::io::Result<&[u8]> {
        self.0.fill_buf()
    }

    fn consume(&mut self, bytes: usize) {
        // What is consumed is in the buffer: nothing is read for this.
        let ends = self.0.fill_buf().map_or(0, |b| ends_in(&b[..bytes.min(b.len())]));
        self.1.set(self.1.get() + ends);
        self.0.consume(bytes);
    }
}

impl<R> Lines<R> {
    fn count(&self, n: usize, into: &[u8]) {
        self.1.set(self.1.get() + ends_in(&into[..n]));
    }
}

fn ends_in(bytes: &[u8]) -> u64 {
    bytes.iter().filter(|b| **b == b'\n').count() as u64
}
