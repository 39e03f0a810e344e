"""Files: dialects, layout lines, damage, and the truth beside each line.

`ListFile` writes one supplier's list record by record and notes for every
record, layout lines included, what it truly is: one truth row per record, at
the physical line where the record starts (the sheet row in a workbook).
"""

import gzip

from lines import BY_FORMER, BY_GTIN, BY_MPN, BY_PACK_GTIN, GTIN, MPN
from tongues import TONGUES
from workbook import Workbook

TRUTH_HEADER = "file,line,scope,part_kind,product,fit_group,shows_identifier,states_enough\n"
LAYOUT = "layout,,,,no,no\n"
REJECT = "reject,,,,no,no\n"
BUFFER = 512


class ListFile:
    """One list on disk. Memory: one buffer of records."""

    def __init__(self, folder, file, style, truth):
        self.style, self.truth = style, truth
        self.delimiter, self.end = style.delimiter, style.line_end
        self.width = len(style.columns)
        self.joints = self.width - 1
        self.line = 1
        self.records = 0
        self.parts = []
        self.notes = []
        path = folder / file
        self.book = self.raw = None
        if style.workbook:
            self.book = Workbook(path, style.workbook)
            self.shown = f"{file}#{style.workbook}"
        else:
            self.raw = open(path, "wb")
            self.out = gzip.GzipFile("", "wb", 6, self.raw, 0) if style.compress else self.raw
            self.out.write(style.byte_order_mark)
            self.shown = file
        self.prefix = f"{self.shown},"

    def cells(self, cells, tail):
        """One record of cells with its truth."""
        if self.book:
            self.book.add(cells)
            self.note(tail, 1)
            return
        delimiter, style = self.delimiter, self.style
        text = delimiter.join(cells)
        lines = 1
        if style.quote_all:
            text = delimiter.join(['"' + cell.replace('"', '""') + '"' for cell in cells])
            lines += text.count("\n")
        elif '"' in text or text.count(delimiter) != self.joints or "\n" in text:
            text = delimiter.join([quoted(cell, delimiter) for cell in cells])
            lines += text.count("\n")
        if style.trailing_delimiter:
            text += delimiter
        self.parts.append(text)
        self.note(tail, lines)

    def text(self, text, tail):
        """One line exactly as given."""
        if self.book:
            self.book.add(text.split("\t"))
        else:
            self.parts.append(text)
        self.note(tail, 1)

    def bytes(self, data, tail):
        """One line of bytes that need not be text in the file's encoding."""
        self.flush()
        self.out.write(data + self.end.encode(self.style.encoding))
        self.note(tail, 1)

    def note(self, tail, lines):
        """The truth of the record just written."""
        self.notes.append(f"{self.prefix}{self.line},{tail}")
        self.line += lines
        self.records += 1
        if len(self.notes) >= BUFFER:
            self.flush()

    def flush(self):
        """Writes what is held back."""
        if self.parts:
            text = self.end.join(self.parts) + self.end
            if self.style.mixed_ends:
                text = text.replace("0\r\n", "0\n")
            self.out.write(text.encode(self.style.encoding, "replace"))
            self.parts.clear()
        self.truth.write("".join(self.notes))
        self.notes.clear()

    def header(self):
        """The line of column headings."""
        self.cells([heading for _, heading in self.style.columns], LAYOUT)

    def blank(self):
        """An empty line."""
        self.text("", LAYOUT)

    def aligned(self, *words):
        """A layout line with its words in the first cells and delimiters up to full width."""
        self.cells(list(words) + [""] * (self.width - len(words)), LAYOUT)

    def close(self):
        """Ends the file."""
        self.flush()
        if self.book:
            self.book.close()
        else:
            if self.out is not self.raw:
                self.out.close()
            self.raw.close()


def quoted(cell, delimiter):
    """A cell, in quotes where RFC 4180 asks for them."""
    if delimiter in cell or '"' in cell or "\n" in cell:
        return '"' + cell.replace('"', '""') + '"'
    return cell


def broken_line(listing, cells, how):
    """Writes a line that no reader can take for sound."""
    delimiter, encoding = listing.delimiter, listing.style.encoding
    cells = [cell.replace("\n", " ").replace('"', "") for cell in cells]
    if listing.book:
        listing.cells(cells[:1], REJECT)
        return
    if how == "ragged":
        text = delimiter.join(cells[:3] + ["", "??"] + cells[3:] + cells[-2:])
        listing.text(text, REJECT)
    elif how == "short":
        listing.text(delimiter.join(cells[:2])[:-2], REJECT)
    elif how == "quote":
        place = listing.style.field_order.index("title")
        cells[place] = '"' + cells[place]
        listing.text(delimiter.join(cells), REJECT)
    elif encoding == "utf-8":
        data = delimiter.join(cells).encode("utf-8")
        half = len(data) // 2
        listing.bytes(data[:half] + b"\xc3\x28\xff\xfe" + data[half:], REJECT)
    else:
        listing.text(delimiter.join(cells[:2])[:-1], REJECT)


def spoil(cells, bits, fields, roll):
    """What a spreadsheet does to a line: 9.52E+12, a lost zero, a date. Returns the identifier bits left."""
    code = cells[GTIN]
    if "gtin" in fields and code and roll % 3 < 2:
        if code[0] == "0":
            cells[GTIN] = code[1:]  # the check digit still tells; the number counts as shown
        else:
            cells[GTIN] = f"{code[0]}.{code[1:6]}E+12"
            bits &= ~(BY_GTIN | BY_PACK_GTIN)
    elif "mpn" in fields and cells[MPN]:
        cells[MPN] = ("#N/A", "10-Mar", "4.1E+05")[roll % 3]
        bits &= ~(BY_MPN | BY_FORMER)
    return bits


def closing(listing, count):
    """Footer lines: totals and small print."""
    tongue = TONGUES[listing.style.tongue]
    if listing.style.footnotes:
        listing.aligned(tongue["total"][1], str(count))
        for note in tongue["notes"][:listing.style.footnotes]:
            listing.text(note, LAYOUT)
