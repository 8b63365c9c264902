//! What a damaged file can claim, refused before the library believes it.
//!
//! Each check looks at bytes that are read anyway. What is left, the library's own arithmetic on
//! damaged values, is caught where a column is read.

use super::walk;
use ::parquet::basic::Encoding;
use ::parquet::column::page::{Page, PageMetadata, PageReader};
use ::parquet::errors::{ParquetError, Result};
use ::parquet::file::reader::{ChunkReader, Length};
use bytes::Bytes;

/// Length of the description, and the four letters that end a file.
const TAIL: u64 = 8;
/// The header of a page is looked for in so many bytes; that of a page of numbers takes some fifty.
const HEADER: u64 = 16 * 1024;
/// Longest page unpacked. Writers aim at one megabyte.
const LONGEST_PAGE: i64 = 256 * 1024 * 1024;
/// Values of a column at most, eighteen hours at 1000 Hz: ten bytes of a page can claim any number.
const MOST_VALUES: u64 = 1 << 26;

fn refused<T>(sentence: &str) -> Result<T> {
    Err(ParquetError::General(sentence.into()))
}

/// A file whose description is held whole, each field of its kind. One that has no description is
/// left to the library to refuse.
pub(super) struct CheckedSource<R>(R);

impl<R: ChunkReader> CheckedSource<R> {
    pub(super) fn new(source: R) -> Result<Self> {
        let Some(end) = source.len().checked_sub(TAIL) else { return Ok(Self(source)) };
        let tail = source.get_bytes(end, TAIL as usize)?;
        let length = tail.first_chunk::<4>().map_or(0, |bytes| u32::from_le_bytes(*bytes));
        let Some(start) = end.checked_sub(u64::from(length)) else { return Ok(Self(source)) };
        match walk::is_description(&source.get_bytes(start, length as usize)?) {
            true => Ok(Self(source)),
            false => refused("its description is damaged or claims more than the file holds"),
        }
    }

    fn check_header(&self, start: u64) -> Result<()> {
        let left = self.len().saturating_sub(start).min(HEADER);
        match walk::unpacked_length(&self.get_bytes(start, left as usize)?) {
            Some(..=LONGEST_PAGE) => Ok(()),
            Some(_) => refused("a page claims to unpack to more than 256 megabytes"),
            None => refused("the header of a page is damaged"),
        }
    }
}

impl<R: Length> Length for CheckedSource<R> {
    fn len(&self) -> u64 {
        self.0.len()
    }
}

impl<R: ChunkReader> ChunkReader for CheckedSource<R> {
    type T = R::T;

    /// The library asks for a reader at the end of the file and at the header of each page.
    fn get_read(&self, start: u64) -> Result<R::T> {
        if start.checked_add(TAIL) != Some(self.len()) {
            self.check_header(start)?;
        }
        self.0.get_read(start)
    }

    fn get_bytes(&self, start: u64, length: usize) -> Result<Bytes> {
        self.0.get_bytes(start, length)
    }
}

/// The pages of a column, none of them coded by what the column does not hold.
pub(super) struct CheckedPages {
    pages: Box<dyn PageReader>,
    has_dictionary: bool,
    values: u64,
}

impl CheckedPages {
    pub(super) fn new(pages: Box<dyn PageReader>) -> Self {
        Self { pages, has_dictionary: false, values: 0 }
    }

    fn check(&mut self, page: &Page) -> Result<()> {
        self.has_dictionary |= page.is_dictionary_page();
        self.values += u64::from(page.num_values());
        if self.values > MOST_VALUES {
            return refused("a column claims more than 67 million rows; cut the recording");
        }
        if let Page::DataPageV2 { buf, def_levels_byte_len, rep_levels_byte_len, .. } = page
            && u64::from(*def_levels_byte_len) + u64::from(*rep_levels_byte_len) > buf.len() as u64
        {
            return refused("the levels of a page are longer than the page");
        }
        match page.is_data_page() && is_by_dictionary(page.encoding()) && !self.has_dictionary {
            true => refused("a page is coded by a dictionary that the file does not hold"),
            false => Ok(()),
        }
    }
}

const fn is_by_dictionary(encoding: Encoding) -> bool {
    matches!(encoding, Encoding::PLAIN_DICTIONARY | Encoding::RLE_DICTIONARY)
}

impl PageReader for CheckedPages {
    fn get_next_page(&mut self) -> Result<Option<Page>> {
        let page = self.pages.get_next_page()?;
        if let Some(page) = &page {
            self.check(page)?;
        }
        Ok(page)
    }

    fn peek_next_page(&mut self) -> Result<Option<PageMetadata>> {
        self.pages.peek_next_page()
    }

    fn skip_next_page(&mut self) -> Result<()> {
        self.pages.skip_next_page()
    }
}

impl Iterator for CheckedPages {
    type Item = Result<Page>;

    fn next(&mut self) -> Option<Self::Item> {
        self.get_next_page().transpose()
    }
}
