//! What a file is packed in, told by its bytes and never by its name. A *source* is something that can be opened as a
//! stream of unpacked bytes as often as needed, so that a list is first surveyed whole and then read, both in bounded
//! memory. Every stream runs under the caps of `limits`; going over one ends the file, it never fills the machine.
//!
//! - gzip: all members are read; bytes after the last member that are no gzip are ignored with a note.
//! - zstd: all frames.
//! - zip: each member is a list of its own, stored or deflated, its checksum verified, and may be gzip, zstd or a workbook
//!   itself, but no archive; a workbook is told apart by its `[Content_Types].xml`.
//! - anything else is taken as text, unless its first bytes are those of a known binary format.

mod archive;
mod guard;
mod gzip;

use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

pub(crate) use archive::{Contents, Listed, Member, members, unpacked_within};
pub(crate) use guard::{Stop, stop_of};

use super::limits::Limits;
use guard::Guard;
use gzip::Members;

/// Buffer between the file and its unpacking, bytes.
const FILE_BUFFER: usize = 128 << 10;

/// What the first bytes say a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Plain,
    Gzip,
    Zstd,
    Zip,
    /// A binary format that is recognised and not read, with its name.
    Foreign(&'static str),
}

/// First bytes of formats that people send in place of a list.
const FOREIGN: [(&[u8], &str); 10] = [
    (b"%PDF", "a PDF document"),
    (
        b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1",
        "an old Office document (.xls, .doc)",
    ),
    (b"\x89PNG", "a PNG picture"),
    (b"\xFF\xD8\xFF", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"\x7FELF", "a program"),
    (b"BZh", "a bzip2 archive"),
    (b"7z\xBC\xAF\x27\x1C", "a 7z archive"),
    (b"Rar!", "a RAR archive"),
    (b"\xFD7zXZ\x00", "an xz archive"),
];

/// Tells what the first bytes of a file are.
pub(crate) fn kind_of(head: &[u8]) -> Kind {
    if head.starts_with(b"\x1F\x8B") {
        Kind::Gzip
    } else if head.starts_with(b"\x28\xB5\x2F\xFD") {
        Kind::Zstd
    } else if head.starts_with(b"PK\x03\x04") || head.starts_with(b"PK\x05\x06") {
        Kind::Zip
    } else {
        let foreign = FOREIGN.iter().find(|(magic, _)| head.starts_with(magic));
        foreign.map_or(Kind::Plain, |(_, name)| Kind::Foreign(name))
    }
}

/// Reads the first bytes of a file, up to `most`.
pub(crate) fn head_of(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    let mut head = Vec::new();
    File::open(path)?.take(most as u64).read_to_end(&mut head)?;
    Ok(head)
}

/// How the bytes of a list are packed.
#[derive(Clone, Debug)]
pub(crate) enum Packing {
    Plain,
    Gzip,
    Zstd,
    Member(Member),
}

/// How a member of an archive is packed once more.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Wrapping {
    Gzip,
    Zstd,
}

/// A list's bytes, to be opened as often as needed.
#[derive(Clone, Debug)]
pub(crate) struct Source {
    pub(crate) path: PathBuf,
    pub(crate) packing: Packing,
    pub(crate) wrapping: Option<Wrapping>,
    pub(crate) packed_bytes: u64,
    /// Bytes that other lists of the same file unpacked to; they count against the limit together.
    pub(crate) spent: u64,
    pub(crate) limits: Limits,
}

impl Source {
    /// The unpacked bytes from the start.
    pub(crate) fn open(&self) -> io::Result<Box<dyn Read + Send>> {
        let mut file = File::open(&self.path)?;
        let stream: Box<dyn Read + Send> = match &self.packing {
            Packing::Plain => Box::new(file),
            Packing::Gzip => gunzipped(file),
            Packing::Zstd => Box::new(zstd::stream::read::Decoder::new(file)?),
            Packing::Member(member) => {
                file.seek(SeekFrom::Start(member.start))?;
                member.unpack(file)
            }
        };
        let stream = match self.wrapping {
            None => stream,
            Some(Wrapping::Gzip) => gunzipped(stream),
            Some(Wrapping::Zstd) => Box::new(zstd::stream::read::Decoder::new(stream)?),
        };
        Ok(Box::new(Guard::new(stream, self)))
    }

    pub(crate) fn is_packed(&self) -> bool {
        !matches!(self.packing, Packing::Plain)
    }
}

fn gunzipped(stream: impl Read + Send + 'static) -> Box<dyn Read + Send> {
    Box::new(Members::new(BufReader::with_capacity(FILE_BUFFER, stream)))
}
