"""A one-sheet workbook, written as a stream: just enough Office Open XML.

ISO/IEC 29500 asks for a content-type list, two relationship parts, a workbook
and the sheet. Texts are written inline; whole and decimal numbers as numbers,
the way a person's spreadsheet holds them.
"""

import re
import zipfile

MOMENT = (2026, 1, 5, 8, 0, 0)
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
NUMBER = re.compile(r"-?(?:0|[1-9]\d{0,14})(?:\.\d+)?\Z")
ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})


class Workbook:
    """Rows go to the sheet as they come; memory does not grow with them."""

    def __init__(self, path, sheet):
        self.archive = zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED)
        kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
        self.part("[Content_Types].xml", f'<Types xmlns="{PACKAGE}/content-types">'
                  '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
                  f'<Override PartName="/xl/workbook.xml" ContentType="{kind}.sheet.main+xml"/>'
                  f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{kind}.worksheet+xml"/></Types>')
        self.part("_rels/.rels", f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="rId1" '
                  f'Type="{RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>')
        self.part("xl/_rels/workbook.xml.rels", f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="rId1" '
                  f'Type="{RELATIONS}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>')
        self.part("xl/workbook.xml", f'<workbook xmlns="{MAIN}" xmlns:r="{RELATIONS}"><sheets>'
                  f'<sheet name="{sheet}" sheetId="1" r:id="rId1"/></sheets></workbook>')
        self.sheet = self.archive.open(self.entry("xl/worksheets/sheet1.xml"), "w", force_zip64=True)
        self.sheet.write(f'{HEAD}<worksheet xmlns="{MAIN}"><sheetData>'.encode())
        self.row = 0

    @staticmethod
    def entry(name):
        """A member with a fixed time, so that the same rows give the same bytes."""
        info = zipfile.ZipInfo(name, MOMENT)
        info.compress_type = zipfile.ZIP_DEFLATED
        info.external_attr = 0o644 << 16
        return info

    def part(self, name, text):
        """One small part of the package."""
        self.archive.writestr(self.entry(name), HEAD + text)

    def add(self, cells):
        """One row; empty cells are left out."""
        self.row += 1
        out = [f'<row r="{self.row}">']
        for place, cell in enumerate(cells):
            if not cell:
                continue
            where = f"{letters(place)}{self.row}"
            if NUMBER.match(cell):
                out.append(f'<c r="{where}"><v>{cell}</v></c>')
            else:
                out.append(f'<c r="{where}" t="inlineStr"><is><t xml:space="preserve">{cell.translate(ESCAPES)}</t></is></c>')
        out.append("</row>")
        self.sheet.write("".join(out).encode("utf-8"))

    def close(self):
        """Ends the sheet and the archive."""
        self.sheet.write(b"</sheetData></worksheet>")
        self.sheet.close()
        self.archive.close()


def letters(place):
    """Column letters: 0 -> A, 26 -> AA."""
    text = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        text = chr(65 + rest) + text
    return text
