//! Members of a zip archive, as streams of their own.

use std::fs::File;
use std::io::{self, Read, Seek};

use flate2::Crc;
use flate2::read::DeflateDecoder;
use zip::read::ZipFile;
use zip::{CompressionMethod, ZipArchive};

/// Members beyond this number are refused with the archive, since no supplier sends that many lists.
const MOST_MEMBERS: usize = 1_000;

/// Where one member lies in the archive and how it is packed.
#[derive(Clone, Debug)]
pub(crate) struct Member {
    pub(crate) start: u64,
    pub(crate) packed: u64,
    deflated: bool,
    checksum: u32,
}

impl Member {
    /// Unpacks from a file that stands at the member's start.
    pub(super) fn unpack(&self, file: File) -> Box<dyn Read + Send> {
        let packed = file.take(self.packed);
        let inner: Box<dyn Read + Send> = if self.deflated {
            Box::new(DeflateDecoder::new(packed))
        } else {
            Box::new(packed)
        };
        Box::new(Checked {
            inner,
            sum: Crc::new(),
            expected: self.checksum,
        })
    }
}

/// One member by its name, and why it cannot be read if so.
pub(crate) struct Listed {
    pub(crate) name: String,
    pub(crate) what: Result<Member, String>,
}

/// What an archive holds.
pub(crate) enum Contents {
    Workbook,
    Lists(Vec<Listed>),
}

/// The members of an archive in the order of their names. Folders and hidden files are left out.
pub(crate) fn members(packed: impl Read + Seek) -> Result<Contents, String> {
    let mut archive = ZipArchive::new(packed).map_err(|error| error.to_string())?;
    let has = |name: &str| archive.index_for_name(name).is_some();
    if has("[Content_Types].xml") {
        return match has("xl/workbook.xml") {
            true => Ok(Contents::Workbook),
            false => Err("an Office document, but no .xlsx workbook".to_string()),
        };
    }
    if has("mimetype") && has("content.xml") {
        return Err("an OpenDocument file; save the list as CSV or .xlsx".to_string());
    }
    if archive.len() > MOST_MEMBERS {
        return Err(format!("{} members, the most is {MOST_MEMBERS}", archive.len()));
    }
    let mut found = Vec::new();
    for index in 0..archive.len() {
        let entry = archive.by_index_raw(index).map_err(|error| error.to_string())?;
        let name = entry.name().map_err(|error| error.to_string())?.replace('\\', "/");
        let last = name.rsplit('/').next().unwrap_or_default();
        if entry.is_dir() || last.starts_with(['.', '~']) || name.starts_with("__MACOSX/") {
            continue;
        }
        let what = if entry.encrypted() {
            Err("it is encrypted".to_string())
        } else {
            packing_of(&entry)
        };
        found.push(Listed { name, what });
    }
    found.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(Contents::Lists(found))
}

fn packing_of<R: Read>(entry: &ZipFile<'_, R>) -> Result<Member, String> {
    let deflated = match entry.compression() {
        CompressionMethod::Stored => false,
        CompressionMethod::Deflated => true,
        other => return Err(format!("it is packed by {other}, which is not read here")),
    };
    Ok(Member {
        start: entry.data_start().ok_or("it has no place in the archive")?,
        packed: entry.compressed_size(),
        deflated,
        checksum: entry.crc32(),
    })
}

/// Whether everything in an archive unpacks to no more than `most` bytes, found by unpacking it into nothing: the sizes
/// an archive states of itself are only claims.
pub(crate) fn unpacked_within(packed: impl Read + Seek, most: u64) -> Result<bool, String> {
    let mut archive = ZipArchive::new(packed).map_err(|error| error.to_string())?;
    let mut total = 0u64;
    for index in 0..archive.len() {
        let entry = archive.by_index(index).map_err(|error| error.to_string())?;
        let left = most.saturating_sub(total);
        let count = io::copy(&mut entry.take(left + 1), &mut io::sink()).map_err(|error| error.to_string())?;
        total += count;
        if total > most {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Compares the checksum at the end.
struct Checked {
    inner: Box<dyn Read + Send>,
    sum: Crc,
    expected: u32,
}

impl Read for Checked {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(buffer)?;
        self.sum.update(&buffer[..count]);
        if count == 0 && !buffer.is_empty() && self.sum.sum() != self.expected {
            return Err(io::Error::new(
                io::ErrorKind::InvalidData,
                "the checksum of the archive's member is wrong",
            ));
        }
        Ok(count)
    }
}
