"""Writes icd10cm.json: the codes of spinal curves as an independent package has them.

Run once for an edition: pip install simple-icd-10-cm==1.5.0; python icd10cm.py
"""

import importlib.metadata
import json
import pathlib

import simple_icd_10_cm as icd

ROOTS = ["M40", "M41", "M42.0", "Q67.5", "Q76.3", "Q76.4", "M96.2", "M96.3", "M96.4", "M96.5", "M96.89"]


def numbers(code):
    """Exclusions and coding orders that hold for a code, those of its parents too."""
    chain = [code] + icd.get_ancestors(code)
    return {
        "description": icd.get_description(code),
        "excludes1": [e for c in chain if icd.is_valid_item(c) for e in icd.get_excludes1(c)],
        "code_first": [
            icd.get_code_first(c) for c in chain if icd.is_valid_item(c) and icd.get_code_first(c)
        ],
    }


def leaves(root):
    return [c for c in [root] + icd.get_descendants(root) if icd.is_leaf(c)]


data = {
    "source": "simple-icd-10-cm " + importlib.metadata.version("simple-icd-10-cm"),
    "codes": {code: numbers(code) for root in ROOTS for code in leaves(root)},
}
path = pathlib.Path(__file__).with_name("icd10cm.json")
path.write_text(json.dumps(data, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
