"""Documents, told by what is in them; kept byte for byte, and only ever handed out as a download."""

import io
import zipfile

from pitchline.desk.uploads import Upload
from pitchline.exchange.gathering import refuse
from pitchline.exchange.text_in import decode
from pitchline.exchange.zip_guard import check_workbook
from pitchline.trade.errors import InputError
from pitchline.words import translated

KINDS = {
    ".pdf": "application/pdf",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".csv": "text/csv; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
}
"""Media types by ending."""


def document_kind(sent: Upload) -> str:
    """The media type of a document whose content is what its ending says.

    Raises
    ------
    InputError
        It is something else, or not safe to open.
    """
    content, name = sent.content, sent.name
    if sent.ending == ".pdf":
        if not content.startswith(b"%PDF-") or b"%%EOF" not in content[-2048:]:
            raise _other_than(name, translated("a whole PDF"))
    elif sent.ending == ".xlsx":
        check_workbook(content, name)
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if "xl/workbook.xml" not in archive.namelist():
                raise _other_than(name, translated("a workbook"))
    elif sent.ending in KINDS:
        decode(content, name)
    else:
        raise _other_than(name, translated("a document as PDF, CSV, XLSX or text"))
    return KINDS[sent.ending]


def _other_than(name: str, allowed: str) -> InputError:
    return refuse(name, "document", "something else inside", allowed, "Save it again in that form.")
