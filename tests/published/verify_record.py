#!/usr/bin/env python3
"""Checks a Pullmark record without Pullmark.

Written from daemon/record.md and published standards alone; nothing of the program's own code is used:
  RFC 8785       canonical JSON, here for a profile without fractions
  RFC 7493       I-JSON: no name twice, whole numbers that a double holds
  W3C Data Integrity EdDSA Cryptosuites v1.0, section 3.3   eddsa-jcs-2022
  W3C Controlled Identifiers 1.0, Multikey; did:key method   keys as text (multicodec ed 01, base58btc)
  RFC 8032       Ed25519, by the package `cryptography`
  RFC 6962 section 2.1, c2sp.org/signed-note, c2sp.org/tlog-checkpoint   the ledger's tree and its signed head

It checks the signature, that proof and document have the same contexts, that issuer and verification method are the
same key, the key history, the names beside the record, that the entries beside it lead to the signed head, that none of
the build's is left out, and that the record has every reading of theirs and no other. The checks - planned measurements
that are no torque - it computes again from their readings, formulas and certificates (`verify_checks.py`, beside this
file). It does not check that the verdicts of torque follow from the figures. Needs Python 3.9 or newer and the package
`cryptography`.

  verify_record.py RECORD.json [--json] [--pin HEX] [--parts DIR]

Exit status: 0 it holds, 1 it does not, 2 the question was wrong. `--parts` writes message.bin, signature.bin and
key.pem, for checking the signature with yet another program:
  openssl pkeyutl -verify -pubin -inkey key.pem -rawin -in message.bin -sigfile signature.bin
"""

import argparse
import base64
import datetime
import hashlib
import json
import pathlib
import sys

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

import verify_checks

MOST = 2**53 - 1
FORMAT = "pullmark.invalid/record-file/1"
FILE_MEMBERS = {"format", "record", "names", "keys", "plans", "history", "for_customer"}
ORIGIN = "pullmark.invalid/bench/"
ALPHABET = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz"
ORDER = 2**252 + 27742317777372353535851937790883648493  # RFC 8032 section 5.1: the order of the base point
MEMBERS = {"type", "cryptosuite", "created", "verificationMethod", "proofPurpose", "@context", "proofValue"}


class DoesNotHold(Exception):
    """The record does not hold, with the reason."""


def once(pairs):
    """An object in which every name stands once (RFC 7493 section 2.3)."""
    result = dict(pairs)
    if len(result) != len(pairs):
        raise DoesNotHold("a name stands twice in one object")
    return result


def whole(text):
    """A whole number in plain digits that a double holds (RFC 7493 section 2.2)."""
    number = int(text)
    if str(number) != text or abs(number) > MOST:
        raise DoesNotHold(f"the number {text} is not a plain whole number")
    return number


def refuse(text):
    raise DoesNotHold(f"the number {text} is no whole number")


def read(data):
    """JSON that can be read in one way only."""
    try:
        text = data.decode("utf-8")
        value = json.loads(text, object_pairs_hook=once, parse_int=whole, parse_float=refuse, parse_constant=refuse)
    except (ValueError, RecursionError) as error:
        raise DoesNotHold(f"the file is not JSON: {error}") from error
    try:
        canonical(value).encode("utf-8")
    except UnicodeEncodeError as error:
        raise DoesNotHold("a text holds half of a surrogate pair") from error
    return value


def canonical(value):
    """RFC 8785 for texts, whole numbers, lists and objects."""
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int):
        return str(value)
    if isinstance(value, str):
        return text(value)
    if isinstance(value, list):
        return "[" + ",".join(map(canonical, value)) + "]"
    # Section 3.2.3: names are sorted by their UTF-16 code units.
    names = sorted(value, key=lambda name: name.encode("utf-16-be", "surrogatepass"))
    return "{" + ",".join(text(name) + ":" + canonical(value[name]) for name in names) + "}"


def text(value):
    """Section 3.2.2.2."""
    short = {8: "\\b", 9: "\\t", 10: "\\n", 12: "\\f", 13: "\\r", 34: '\\"', 92: "\\\\"}
    signs = (short.get(ord(c)) or (f"\\u{ord(c):04x}" if ord(c) < 32 else c) for c in value)
    return '"' + "".join(signs) + '"'


def sha256(value):
    return hashlib.sha256(canonical(value).encode("utf-8")).digest()


def base58(value, length):
    """Multibase text with base58btc, `z`, of bytes of a known length."""
    if not isinstance(value, str) or not value.startswith("z") or len(value) > 128:
        raise DoesNotHold("a key or signature is no base58btc text")
    digits = value[1:]
    number = 0
    for sign in digits:
        if sign not in ALPHABET:
            raise DoesNotHold(f"{sign!r} is no base58btc digit")
        number = number * 58 + ALPHABET.index(sign)
    zeros = len(digits) - len(digits.lstrip("1"))
    result = b"\0" * zeros + number.to_bytes((number.bit_length() + 7) // 8, "big")
    if len(result) != length:
        raise DoesNotHold(f"a key or signature has {len(result)} bytes, not {length}")
    return result


def ed25519_key(multikey):
    """The 32 bytes of a Multikey: multicodec ed25519-pub, ed 01."""
    data = base58(multikey, 34)
    if data[:2] != b"\xed\x01":
        raise DoesNotHold("the key is no Ed25519 key")
    return data[2:]


def check_proof(document, proof):
    """The proof's members, apart from its value."""
    if not isinstance(proof, dict) or not set(proof) <= MEMBERS:
        raise DoesNotHold("there is not exactly one proof with the members of the suite")
    wanted = {"type": "DataIntegrityProof", "cryptosuite": "eddsa-jcs-2022", "proofPurpose": "assertionMethod"}
    for name, value in wanted.items():
        if proof.get(name) != value:
            raise DoesNotHold(f"{name} of the proof is not {value}")
    if proof.get("@context") != document.get("@context"):
        raise DoesNotHold("the contexts of proof and document differ")
    method = proof.get("verificationMethod")
    did, _, key = method.partition("#") if isinstance(method, str) else ("", "", "")
    if did != "did:key:" + key or document.get("issuer") != did:
        raise DoesNotHold("issuer and verification method are not one and the same did:key")
    return key


def check_signature(key, signature, message):
    if int.from_bytes(signature[32:], "little") >= ORDER:
        raise DoesNotHold("the signature is written in a second way (S is not reduced)")
    try:
        Ed25519PublicKey.from_public_bytes(key).verify(signature, message)
    except (InvalidSignature, ValueError) as error:
        raise DoesNotHold("the signature does not hold") from error


def check_document(document, parts=None):
    """A signed document: gives back the document without its proof, the key as text, and when it was signed."""
    if not isinstance(document, dict):
        raise DoesNotHold("it is no object")
    document = dict(document)
    proof = document.pop("proof", None)
    multikey = check_proof(document, proof)
    key = ed25519_key(multikey)
    signature = base58(proof.get("proofValue"), 64)
    options = {name: value for name, value in proof.items() if name != "proofValue"}
    message = sha256(options) + sha256(document)  # section 3.3.4
    if parts:
        write_parts(pathlib.Path(parts), key, signature, message)
    check_signature(key, signature, message)
    return document, multikey, proof["created"]


def moment(text):
    try:
        time = datetime.datetime.fromisoformat(text.replace("Z", "+00:00"))
    except (ValueError, AttributeError) as error:
        raise DoesNotHold(f"{text!r} is no time") from error
    if time.tzinfo is None:
        raise DoesNotHold(f"the time {text} has no offset")
    return time


def hash_of_key(multikey):
    return hashlib.sha256(multikey.encode()).hexdigest()


def check_keys(links):
    """The key history: gives back for every key from when on it no longer counts, in order."""
    keys, before = {}, None
    for number, link in enumerate(links):
        said, signer, created = check_document(link)
        if said["sequence"] != number or created != said["valid_from"] or said["key"] in keys:
            raise DoesNotHold(f"link {number} of the key history is out of its place")
        if before is None:
            fits = signer == said["key"] and said["previous"] == "0" * 64 and said["reason"] == "first"
        else:
            by_recovery = hash_of_key(signer) == before["recovery"]
            promised = hash_of_key(said["key"]) == before["next"] and said["recovery"] == before["recovery"]
            fits = by_recovery or (signer == before["key"] and promised)
            fits = fits and said["previous"] == sha256(before).hex() and said["revoked"]["key"] == before["key"]
            revoked = said["revoked"]["from"]
            fits = fits and said["reason"] != "first" and moment(revoked) <= moment(created)
            keys[before["key"]] = revoked
            for earlier, ended in keys.items():
                # After a theft or a loss no earlier key counts from that moment on, either.
                if said["reason"] in ("theft", "loss") and moment(revoked) < moment(ended):
                    keys[earlier] = revoked
        if not fits:
            raise DoesNotHold(f"link {number} of the key history does not follow on the one before")
        ed25519_key(said["key"])
        keys[said["key"]] = None
        before = link
    return keys


def judge_keys(subject, multikey, created, beside):
    """The identity of the bench and its keys, by the history in the record or a longer one beside it."""
    own = subject.get("keys") or []
    if not own:
        history = subject.get("key_history")
        if not isinstance(history, list) or not history or not isinstance(history[-1], dict):
            raise DoesNotHold("the record has no key history")
        if history[-1].get("key") != multikey:
            raise DoesNotHold("the key that signed is not the last of the key history")
        return sha256(history[0]).hex(), {entry["key"]: None for entry in history}
    if subject.get("key_history"):
        raise DoesNotHold("the record has two key histories")
    if list(check_keys(own))[-1] != multikey:
        raise DoesNotHold("the key that signed is not the last of the key history")
    links = beside or own
    shorter = min(len(links), len(own))
    if links[:shorter] != own[:shorter]:
        raise DoesNotHold("the key history beside the record is another one than in it")
    keys = check_keys(max(links, own, key=len))
    revoked = keys[multikey]
    if revoked is not None and moment(created) >= moment(revoked):
        raise DoesNotHold(f"the key was revoked from {revoked} on, before the record was signed")
    return sha256(own[0]).hex(), keys


def names_in(value, found):
    """Every text under a member `by`."""
    if isinstance(value, dict):
        for name, member in value.items():
            if isinstance(member, str) and (name == "by" or (name == "to" and "handed" in value)):
                found.add(member)
            else:
                names_in(member, found)
    elif isinstance(value, list):
        for member in value:
            names_in(member, found)
    return found


def check_names(subject, disclosed):
    """Names are signed as hashes of a salt and the name. Gives back how many are left out."""
    signed = names_in(subject, set())
    if subject["record_version"] == 1:
        if disclosed:
            raise DoesNotHold("names are disclosed of a record that hides none")
        return 0
    shown = set()
    for item in disclosed:
        salt = bytes.fromhex(item["salt"])
        hidden = "sha256:" + hashlib.sha256(salt + item["name"].encode()).hexdigest()
        if len(salt) != 16 or hidden not in signed:
            raise DoesNotHold("a name beside the record is none of those that were signed")
        shown.add(hidden)
    if not all(len(name) == 71 and name.startswith("sha256:") for name in signed):
        raise DoesNotHold("a name stands in the record as it is")
    return len(signed - shown)


def tree_root(first, size, leaves, hashes):
    """The root of a tree of which only some leaves are known: record.md, "The way to the signed head"."""
    inside = [index for index in leaves if first <= index < first + size]
    if not inside:
        return next(hashes)
    if size == 1:
        return leaves[first]
    left = 1 << (size - 1).bit_length() - 1
    below = tree_root(first, left, leaves, hashes)
    above = tree_root(first + left, size - left, leaves, hashes)
    return hashlib.sha256(b"\x01" + below + above).digest()


def open_checkpoint(note, keys):
    """A signed note with a checkpoint, by one of the bench's keys: its size and root."""
    name = ORIGIN + next(iter(keys))
    text, _, signatures = note.rpartition("\n\n")
    text += "\n"
    origin, size, root, end = text.split("\n")
    if end or origin != name or str(int(size)) != size:
        raise DoesNotHold("the signed head is of another ledger")
    for line in signatures.splitlines():
        dash, signer, value = line.split(" ")
        data = base64.b64decode(value, validate=True)
        for key in (ed25519_key(multikey) for multikey in keys):
            key_id = hashlib.sha256(name.encode() + b"\n\x01" + key).digest()[:4]
            if dash == "\u2014" and signer == name and data[:4] == key_id:
                check_signature(key, data[4:], text.encode())
                return int(size), base64.b64decode(root, validate=True)
    raise DoesNotHold("none of the bench's keys has signed the head")


def readings_of(subject):
    """Every reading, also of fasteners that an earlier edition of the plan had."""
    fasteners = subject["fasteners"] + subject.get("removed", [])
    return [reading for fastener in fasteners for reading in fastener["readings"]] + subject["elsewhere"]


def check_readings(subject, entries, seal, names):
    """The record has every reading of the build's entries, as it was, and no other; and no entry is missing."""
    of_build = [entry for entry in entries if build_of(entry) == subject["build"] and entry["sequence"] <= seal["sequence"]]
    numbers = [entry.get("in_build") for entry in of_build]
    if numbers != list(range(len(numbers))) and any(number is not None for number in numbers):
        raise DoesNotHold("an entry of the build is missing")
    pulled = {entry["sequence"]: entry for entry in of_build if entry["kind"] == "pulled"}
    listed = readings_of(subject)
    readings = {reading["sequence"]: reading for reading in listed}
    if len(readings) != len(listed):
        raise DoesNotHold("a reading stands in the record twice")
    if set(readings) != set(pulled):
        raise DoesNotHold("the record has other readings than its entries")
    for sequence, reading in readings.items():
        entry = pulled[sequence]
        if entry["time"] != reading["time"] or hide(entry["body"]["reading"], names) != reading["reading"]:
            raise DoesNotHold(f"reading {sequence} is another one than in its entry")
    measured = {entry["sequence"]: entry for entry in of_build if entry["kind"] == "check-measured"}
    of_checks = verify_checks.readings_of(subject)
    if sorted(reading["sequence"] for reading in of_checks) != sorted(measured):
        raise DoesNotHold("the record has other readings of checks than its entries")
    for reading in of_checks:
        entry = measured[reading["sequence"]]
        if entry["time"] != reading["time"] or hide(entry["body"]["reading"], names) != reading["reading"]:
            raise DoesNotHold(f"reading {reading['sequence']} of a check is another one than in its entry")
    return all(number is not None for number in numbers)


def hide(value, names):
    """The same with a hash in the place of every name that is disclosed."""
    if isinstance(value, dict):
        return {
            name: names.get(member, member) if name == "by" and isinstance(member, str) else hide(member, names)
            for name, member in value.items()
        }
    return [hide(member, names) for member in value] if isinstance(value, list) else value


def build_of(entry):
    body = entry["body"]
    return body.get("build") if isinstance(body, dict) else None


def check_history(file, subject, sha, keys):
    """The entries beside the record lead to the signed head, and one of them says that this record was sealed."""
    history = file["history"]
    size, root = open_checkpoint(history["checkpoint"], keys)
    entries, leaves, last = history["entries"], {}, -1
    for entry in entries:
        index = entry["sequence"]
        if not last < index < size:
            raise DoesNotHold("the entries do not rise")
        leaves[index] = hashlib.sha256(b"\0" + canonical(entry).encode()).digest()
        last = index
    hashes = iter([base64.b64decode(text, validate=True) for text in history["hashes"]])
    try:
        found = tree_root(0, size, leaves, hashes)
    except StopIteration as error:
        raise DoesNotHold("the history has too few hashes") from error
    if not leaves or found != root or next(hashes, None) is not None:
        raise DoesNotHold("the entries do not lead to the signed head")
    if any(entry.get("practice") for entry in entries) and not subject["practice"]:
        raise DoesNotHold("an entry is practice, and the record does not say so")
    shown = {"size": size, "root": root.hex(), "entries": len(entries), "readings": False, "numbered": False}
    seals = [entry for entry in entries if entry["kind"] == "record-sealed" and entry["body"]["record"] == sha]
    if not seals:
        named = [e for e in entries if e["kind"] == "head-signed" and e["body"].get("record") == sha]
        if not named:
            raise DoesNotHold("none of the entries says that this record was sealed")
        return shown
    head = open_checkpoint(seals[0]["body"]["checkpoint"], keys)
    ledger = subject["ledger"]
    if head != (ledger["size"], bytes.fromhex(ledger["root"])) or seals[0]["sequence"] != ledger["size"]:
        raise DoesNotHold("the record was sealed at another size of the ledger than it says")
    if subject["record_version"] > 1:
        hidden = {n["name"]: "sha256:" + hashlib.sha256(bytes.fromhex(n["salt"]) + n["name"].encode()).hexdigest()
                  for n in file.get("names", [])}
        shown["numbered"] = check_readings(subject, entries, seals[0], hidden)
        shown["readings"] = True
        plans = {hashlib.sha256(plan.encode()).hexdigest() for plan in file.get("plans", [])}
        pinned = {e["body"]["plan"]["sha256"] for e in entries if e["kind"] in ("build-started", "plan-changed")}
        if subject["plan"]["sha256"] not in plans or plans != pinned:
            raise DoesNotHold("the plans are other ones than the entries pin")
    return shown


def verify(data, parts=None):
    """Checks a record file, or a signed record alone, and says what a reader wants to know."""
    file = read(data)
    if not isinstance(file, dict):
        raise DoesNotHold("the file holds no object")
    if "format" not in file:
        file = {"format": FORMAT, "record": file}
    words = file.get("for_customer", {"text": "", "signed": False})
    if file["format"] != FORMAT or not set(file) <= FILE_MEMBERS or words["signed"] is not False:
        raise DoesNotHold("the file is none of this format")
    record = file["record"]
    document, multikey, created = check_document(record, parts)
    if created != document["validFrom"]:
        raise DoesNotHold("the proof was made at another moment than the record says")
    sha = sha256(record).hex()
    subject = document["credentialSubject"]
    if subject["record_version"] not in (1, 2):
        raise DoesNotHold("the record is of a version that this program does not know")
    identity, keys = judge_keys(subject, multikey, created, file.get("keys", []))
    hidden = check_names(subject, file.get("names", []))
    try:
        checks = verify_checks.verify(subject)
    except verify_checks.Differs as why:
        raise DoesNotHold(f"a check does not follow from its figures: {why}") from why
    shown = check_history(file, subject, sha, keys) if "history" in file else None
    return {
        "valid": True,
        "key": "did:key:" + multikey,
        "fingerprint": identity,
        "sha256": sha,
        "created": created,
        "revoked": keys[multikey],
        "hidden_names": hidden,
        "checks": checks,
        "ledger": shown,
    }


def write_parts(folder, key, signature, message):
    """What another program needs: the key as SubjectPublicKeyInfo (RFC 8410 section 4)."""
    folder.mkdir(parents=True, exist_ok=True)
    info = base64.b64encode(bytes.fromhex("302a300506032b6570032100") + key).decode("ascii")
    (folder / "key.pem").write_text(f"-----BEGIN PUBLIC KEY-----\n{info}\n-----END PUBLIC KEY-----\n")
    (folder / "signature.bin").write_bytes(signature)
    (folder / "message.bin").write_bytes(message)


def main():
    arguments = argparse.ArgumentParser(description="Checks the signature of a Pullmark record without Pullmark.")
    arguments.add_argument("record")
    arguments.add_argument("--json", action="store_true", help="print JSON")
    arguments.add_argument("--pin", "--fingerprint", help="the bench's identity from another channel")
    arguments.add_argument("--parts", help="write message, signature and key to this folder")
    asked = arguments.parse_args()
    try:
        data = pathlib.Path(asked.record).read_bytes()
    except OSError as error:
        print(f"{asked.record} cannot be read: {error}", file=sys.stderr)
        return 2
    try:
        found = verify(data, asked.parts)
        if asked.pin and asked.pin != found["fingerprint"]:
            raise DoesNotHold(f"it was signed by the bench {found['fingerprint']}")
    except (DoesNotHold, KeyError, TypeError, ValueError, AttributeError) as why:
        print(json.dumps({"valid": False, "why": str(why)}) if asked.json else f"not valid: {why}")
        return 1
    if asked.json:
        print(json.dumps(found))
    else:
        print("valid: the signature holds")
        print(f"  key          {found['key']}\n  fingerprint  {found['fingerprint']}\n  signed       {found['created']}")
        shown = found["ledger"]
        if shown:
            print(f"  ledger       it is in the ledger of {shown['size']} entries")
    return 0


if __name__ == "__main__":
    sys.exit(main())
