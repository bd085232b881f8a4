#!/usr/bin/env python3
"""Checks a Pullmark ledger without Pullmark.

Written from published standards alone; nothing of the program's own code is used:
  RFC 6962 section 2.1        the tree over the entries (leaf 00, node 01), here by its own recursive definition
  c2sp.org/signed-note        the signed text and its key id
  c2sp.org/tlog-checkpoint    origin, size and root in it
  RFC 8032                    Ed25519, by the package `cryptography`

It checks every leaf hash, the chain of entries, the bytes that entries name by their hash, and every signed tree head.
Needs Python 3.9 or newer and the package `cryptography`.

  check_ledger.py LEDGER.sqlite [--json]

Exit status: 0 it holds, 1 it does not, 2 the question was wrong.
"""

import argparse
import base64
import hashlib
import json
import pathlib
import sqlite3
import sys

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

ALPHABET = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
ORIGIN = "pullmark.invalid/bench/"


class DoesNotHold(Exception):
    """The ledger does not hold, with the reason."""


def sha256(data):
    return hashlib.sha256(data).digest()


def root(leaves):
    """MTH of RFC 6962 section 2.1, over leaf hashes."""
    if not leaves:
        return sha256(b"")
    if len(leaves) == 1:
        return leaves[0]
    split = 1 << (len(leaves) - 1).bit_length() - 1
    return sha256(b"\x01" + root(leaves[:split]) + root(leaves[split:]))


def key_bytes(multikey):
    """The Ed25519 key in a Multikey text."""
    number = 0
    for sign in multikey.removeprefix("z"):
        number = number * 58 + ALPHABET.index(sign)
    data = number.to_bytes(34, "big")
    if data[:2] != b"\xed\x01":
        raise DoesNotHold("the bench's key is no Ed25519 key")
    return data[2:]


def named_hash(kind, body):
    """The hash of the bytes that an entry names, where it names any."""
    if kind == "pulled":
        return body["reading"]["origin"].get("measured", {}).get("raw")
    if kind == "build-started":
        return body["plan"]["sha256"]
    return body.get({"unreadable": "raw", "tool-gone": "partial", "record-sealed": "record"}.get(kind))


def check_checkpoint(sequence, note, first, multikey, leaves):
    """A signed note with a checkpoint over all entries before this one."""
    text, _, signatures = note.rpartition("\n\n")
    text += "\n"
    origin, size, head, end = text.split("\n")
    name = ORIGIN + first
    if end or origin != name or size != str(sequence):
        raise DoesNotHold(f"entry {sequence}: the tree head is of another log or size")
    if base64.b64decode(head, validate=True) != root(leaves):
        raise DoesNotHold(f"entry {sequence}: the tree head is not the root over the entries before it")
    key = key_bytes(multikey)
    key_id = sha256(name.encode() + b"\n\x01" + key)[:4]
    for line in signatures.splitlines():
        dash, signer, value = line.split(" ")
        data = base64.b64decode(value, validate=True)
        if dash == "\u2014" and signer == name and data[:4] == key_id:
            try:
                return Ed25519PublicKey.from_public_bytes(key).verify(data[4:], text.encode())
            except InvalidSignature as error:
                raise DoesNotHold(f"entry {sequence}: the signature of the tree head does not hold") from error
    raise DoesNotHold(f"entry {sequence}: the bench's key has not signed the tree head")


def check(rows):
    """Checks all rows, and counts."""
    leaves, previous, multikey, first = [], "0" * 64, None, None
    counted = {"entries": 0, "root": "", "attachments": 0, "checkpoints": 0}
    for expected, (sequence, body, leaf, attached) in enumerate(rows):
        if sequence != expected:
            raise DoesNotHold(f"entry {expected} is missing")
        if sha256(b"\x00" + body) != leaf:
            raise DoesNotHold(f"entry {sequence}: its bytes are not those that were hashed")
        entry = json.loads(body)
        if entry["sequence"] != sequence or entry["previous"] != previous:
            raise DoesNotHold(f"entry {sequence}: it does not follow the one before")
        kind, said = entry["kind"], entry["body"]
        named = named_hash(kind, said)
        if named is not None:
            counted["attachments"] += 1
            if attached is None or sha256(attached).hex() != named:
                raise DoesNotHold(f"entry {sequence}: the bytes it names are missing or others")
        if kind == "started":
            multikey = said["key"]
            first = first or multikey
        if kind == "key-linked":
            multikey = said["key"]
        if kind in ("record-sealed", "head-signed"):
            counted["checkpoints"] += 1
            check_checkpoint(sequence, said["checkpoint"], first, multikey, leaves)
        leaves.append(leaf)
        previous = leaf.hex()
    return {**counted, "entries": len(leaves), "root": root(leaves).hex()}


def main():
    arguments = argparse.ArgumentParser(description="Checks a Pullmark ledger without Pullmark.")
    arguments.add_argument("ledger")
    arguments.add_argument("--json", action="store_true", help="print JSON")
    asked = arguments.parse_args()
    try:
        address = pathlib.Path(asked.ledger).resolve(strict=True).as_uri() + "?mode=ro"
        with sqlite3.connect(address, uri=True) as ledger:
            rows = ledger.execute("SELECT sequence, body, leaf, attached FROM entry ORDER BY sequence").fetchall()
    except (OSError, sqlite3.Error) as error:
        print(f"{asked.ledger} cannot be read: {error}", file=sys.stderr)
        return 2
    try:
        found = check(rows)
    except (DoesNotHold, ValueError, KeyError, TypeError, AttributeError) as why:
        print(json.dumps({"valid": False, "why": str(why)}) if asked.json else f"the ledger does not hold: {why}")
        return 1
    print(json.dumps(found) if asked.json else f"the ledger holds: {found['entries']} entries, root {found['root']}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
