//! The fields of a protocol buffer, one after the other, without copying: so that no message, however made, is larger in
//! memory than its bytes.

use prost::encoding::{WireType, decode_key, decode_varint};

/// What stands in a field.
pub(super) enum Field<'b> {
    /// A number as it is written: not negative, or in two's complement.
    Number(u64),
    /// Text, bytes, a message or packed numbers.
    Bytes(&'b [u8]),
    /// Four or eight bytes, which no message here uses.
    Fixed,
}

/// The fields of a message. Ends after what is wrong.
pub(super) struct Fields<'b>(pub(super) &'b [u8]);

impl<'b> Fields<'b> {
    fn field(&mut self) -> Result<(u32, Field<'b>), String> {
        let cut = || "a message ends within a field".to_string();
        let (number, wire) = decode_key(&mut self.0).map_err(|e| e.to_string())?;
        let field = match wire {
            WireType::Varint => Field::Number(decode_varint(&mut self.0).map_err(|e| e.to_string())?),
            WireType::LengthDelimited => {
                let length = decode_varint(&mut self.0).map_err(|e| e.to_string())?;
                let length = usize::try_from(length).map_err(|_| cut())?;
                let (bytes, rest) = self.0.split_at_checked(length).ok_or_else(cut)?;
                self.0 = rest;
                Field::Bytes(bytes)
            }
            WireType::ThirtyTwoBit => self.skip(4).ok_or_else(cut)?,
            WireType::SixtyFourBit => self.skip(8).ok_or_else(cut)?,
            WireType::StartGroup | WireType::EndGroup => {
                return Err("a group, which the format does not have".to_string());
            }
        };
        Ok((number, field))
    }

    fn skip(&mut self, bytes: usize) -> Option<Field<'b>> {
        self.0 = self.0.get(bytes..)?;
        Some(Field::Fixed)
    }
}

impl<'b> Iterator for Fields<'b> {
    type Item = Result<(u32, Field<'b>), String>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.0.is_empty() {
            return None;
        }
        let found = self.field();
        if found.is_err() {
            self.0 = &[];
        }
        Some(found)
    }
}

/// Packed numbers. Ends after what is wrong.
#[derive(Clone, Copy, Default)]
pub(super) struct Numbers<'b>(pub(super) &'b [u8]);

impl Iterator for Numbers<'_> {
    type Item = Result<u64, String>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.0.is_empty() {
            return None;
        }
        let found = decode_varint(&mut self.0).map_err(|e| e.to_string());
        if found.is_err() {
            self.0 = &[];
        }
        Some(found)
    }
}

/// A number written zigzag: 0, -1, 1, -2, …
pub(super) fn signed(number: u64) -> i64 {
    (number >> 1) as i64 ^ -((number & 1) as i64)
}

/// Sums of numbers that are each written as the difference to the one before.
#[derive(Clone, Copy, Default)]
pub(super) struct Sums<'b> {
    numbers: Numbers<'b>,
    sum: i64,
}

impl<'b> Sums<'b> {
    pub(super) fn of(bytes: &'b [u8]) -> Sums<'b> {
        Sums {
            numbers: Numbers(bytes),
            sum: 0,
        }
    }
}

impl Iterator for Sums<'_> {
    type Item = Result<i64, String>;

    fn next(&mut self) -> Option<Self::Item> {
        let step = match self.numbers.next()? {
            Ok(n) => signed(n),
            Err(e) => return Some(Err(e)),
        };
        Some(match self.sum.checked_add(step) {
            Some(sum) => {
                self.sum = sum;
                Ok(sum)
            }
            None => {
                self.numbers = Numbers(&[]);
                Err(format!("{} and {step} more is no number of 64 bits", self.sum))
            }
        })
    }
}
