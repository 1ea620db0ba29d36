"""The letters' claims, PDF/UA-1 and PDF/A-2a, held by checkers that share
nothing with the writer or with the tests' own checker.

`letters.py FOLDER` checks every PDF below a folder:

* `outloud` for the rules of PDF/UA-1, warnings counted,
* `pdfua`, which alone misses no table without header cells,
* rules of PDF/A-2a asked here of the file's objects with `pikepdf`.

Then it breaks one of the letters in every way it knows and wants each broken
file to be rejected by the checker named beside the fault. Exit 1 if a letter
is rejected or a broken file is not.
"""

import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pikepdf
from pikepdf import Dictionary, Name

BIN = Path(sys.executable).parent


# ---- checkers: each returns what it finds, by file


def outloud(files):
    """Findings of `outloud`, one file at a time only where there are any."""
    base = [BIN / "outloud", "--layer", "conformance", "--fail-on", "warning", "--quiet"]
    return rejected(base, files)


def pdfua(files):
    """Findings of `pdfua`; all of them count."""
    return rejected([BIN / "pdfua", "check", "--quiet"], files)


def rejected(command, files):
    """The files that a program rejects, with its words."""

    def run(some):
        return subprocess.run([*command, *some], capture_output=True, text=True)

    if run(files).returncode == 0:
        return {}
    alone = {file: run([file]) for file in files}
    return {f: out.stdout + out.stderr for f, out in alone.items() if out.returncode != 0}


def archive(files):
    """Files that break a rule of PDF/A-2a asked here."""
    found = {file: list(archive_faults(file)) for file in files}
    return {file: "\n".join(faults) for file, faults in found.items() if faults}


def archive_faults(file):
    with pikepdf.open(file) as pdf:
        yield from pdf.check_pdf_syntax()
        root = pdf.Root
        meta = root.Metadata.read_bytes().decode() if "/Metadata" in root else ""
        for part, value in [("part", "2"), ("conformance", "A")]:
            if not re.search(rf"pdfaid:{part}(>|=[\"']){value}", meta):
                yield f"metadata do not say pdfaid:{part} {value}"
        if "/Metadata" in root and "/Filter" in root.Metadata:
            yield "metadata are packed"
        if pdf.is_encrypted:
            yield "encrypted"
        if "/ID" not in pdf.trailer:
            yield "no file identifier"
        if not (root.get("/MarkInfo", {}).get("/Marked", False) and "/StructTreeRoot" in root):
            yield "not tagged, as conformance A demands"
        profiles = [i for i in root.get("/OutputIntents", []) if i.get("/S") == "/GTS_PDFA1"]
        if not any("/DestOutputProfile" in i for i in profiles):
            yield "no output profile"
        for key in ["/OpenAction", "/AA", "/JavaScript"]:
            if key in root or key in root.get("/Names", {}):
                yield f"the document acts by itself: {key}"
        for thing in pdf.objects:
            if isinstance(thing, (pikepdf.Dictionary, pikepdf.Stream)):
                yield from object_faults(thing)


def object_faults(thing):
    kind = thing.get("/Type")
    if kind == "/FontDescriptor":
        if not any(f"/FontFile{n}" in thing for n in ["", "2", "3"]):
            yield f"font {thing.get('/FontName')} is not embedded"
    if kind == "/Font" and thing.get("/Subtype") in ("/Type0", "/TrueType", "/Type1"):
        if "/ToUnicode" not in thing:
            yield f"font {thing.get('/BaseFont')} does not tell its characters"
    if thing.get("/S") in ("/JavaScript", "/Launch", "/Sound", "/Movie", "/ImportData"):
        yield f"forbidden action {thing.S}"
    if isinstance(thing, pikepdf.Stream):
        if "/LZWDecode" in str(thing.get("/Filter", "")):
            yield "packed by a method that is not allowed"
        if "/F" in thing:
            yield "a stream lies outside the file"
        if thing.get("/Subtype") == "/Image" and thing.get("/Interpolate", False):
            yield "a picture is interpolated"


# ---- broken files


def drop(place, key):
    """Removes an entry of the document's root."""

    def fault(pdf):
        del place(pdf)[key]

    return fault


def root(pdf):
    return pdf.Root


def rename(old, new):
    """Gives every element of one role another role."""

    def fault(pdf):
        for thing in elements(pdf, old):
            thing.S = Name(new)

    return fault


def elements(pdf, role):
    all_ = [t for t in pdf.objects if isinstance(t, Dictionary) and t.get("/S") == role]
    assert all_, f"the letter that is broken has no {role}"
    return all_


def no_alt(pdf):
    for thing in elements(pdf, "/Figure"):
        del thing["/Alt"]


def meta(old, new):
    """Changes the metadata."""

    def fault(pdf):
        text = pdf.Root.Metadata.read_bytes()
        assert old in text, old
        pdf.Root.Metadata.write(text.replace(old, new))

    return fault


def no_font(pdf):
    for thing in pdf.objects:
        if isinstance(thing, Dictionary) and thing.get("/Type") == "/FontDescriptor":
            for key in ["/FontFile", "/FontFile2", "/FontFile3"]:
                if key in thing:
                    del thing[key]


def script(pdf):
    pdf.Root.OpenAction = pdf.make_indirect(Dictionary(S=Name.JavaScript, JS="app.beep(0)"))


FAULTS = [
    ("no tree of elements", drop(root, "/StructTreeRoot"), [outloud, pdfua, archive]),
    ("not marked as tagged", drop(root, "/MarkInfo"), [outloud, pdfua, archive]),
    ("no language", drop(root, "/Lang"), [outloud, pdfua]),
    ("title not shown", drop(root, "/ViewerPreferences"), [outloud, pdfua]),
    ("figures without description", no_alt, [outloud, pdfua]),
    ("tables without header cells", rename("/TH", "/TD"), [pdfua]),
    ("headings that skip a level", rename("/H1", "/H3"), [outloud]),
    ("no claim of PDF/UA", meta(b"<pdfuaid:part>1</pdfuaid:part>", b""), [outloud]),
    ("another claim of PDF/A", meta(b"<pdfaid:part>2<", b"<pdfaid:part>9<"), [archive]),
    ("no output profile", drop(root, "/OutputIntents"), [archive]),
    ("fonts not embedded", no_font, [archive]),
    ("a script at opening", script, [archive]),
]


def broken_files_pass(source, folder):
    """The faults that a checker named beside them did not see."""
    unseen = []
    for number, (name, fault, checkers) in enumerate(FAULTS):
        file = folder / f"{number}.pdf"
        with pikepdf.open(source) as pdf:
            fault(pdf)
            pdf.save(file)
        for checker in checkers:
            if not checker([file]):
                unseen.append(f"{checker.__name__} does not see: {name}")
    return unseen


def has_table_and_figure(file):
    with pikepdf.open(file) as pdf:
        roles = {str(t.get("/S")) for t in pdf.objects if isinstance(t, Dictionary)}
    return {"/TH", "/Figure", "/H1"} <= roles


def main(folder):
    files = sorted(f for f in Path(folder).rglob("*.pdf") if ".aside" not in f.parts)
    if not files:
        sys.exit("no letters")
    bad = False
    for checker in [outloud, pdfua, archive]:
        found = checker(files)
        print(f"{checker.__name__}: {len(files)} letters, {len(found)} rejected")
        for file, words in found.items():
            print(f"{file}\n{words}")
            bad = True
    whole = next(filter(has_table_and_figure, files))
    with tempfile.TemporaryDirectory() as place:
        # Saved again without a fault it must pass, or rejecting proves nothing.
        copy = Path(place) / "whole.pdf"
        with pikepdf.open(whole) as pdf:
            pdf.save(copy)
        for checker in [outloud, pdfua, archive]:
            for words in checker([copy]).values():
                print(f"saved again, {checker.__name__} rejects {whole}: {words}")
                bad = True
        unseen = broken_files_pass(whole, Path(place))
    print(f"broken files: {len(FAULTS)}, {len(unseen)} faults unseen")
    print("\n".join(unseen))
    sys.exit(1 if bad or unseen else 0)


main(sys.argv[1])
