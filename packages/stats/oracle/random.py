"""Reference values for the seeded generator, by big-integer arithmetic apart from the TypeScript.

xoshiro128** 1.1 (Blackman & Vigna 2021, ACM TOMS 47:36). The jump of 2^64 draws is found by raising the
128 x 128 transition matrix over GF(2) to that power, so it does not use the published jump constants.
Run: python3 random.py > random.json   (Python 3.11, no packages)
"""
import json

M = 0xFFFFFFFF


def rotl(x, k):
    return ((x << k) | (x >> (32 - k))) & M


def step(s):
    s = list(s)
    t = (s[1] << 9) & M
    s[2] ^= s[0]
    s[3] ^= s[1]
    s[1] ^= s[2]
    s[0] ^= s[3]
    s[2] ^= t
    s[3] = rotl(s[3], 11)
    return s


def draws(s, n):
    out = []
    for _ in range(n):
        out.append((rotl((s[1] * 5) & M, 7) * 9) & M)
        s = step(s)
    return out


def pack(s):
    return s[0] | s[1] << 32 | s[2] << 64 | s[3] << 96


def unpack(v):
    return [v >> (32 * i) & M for i in range(4)]


def apply(columns, v):
    out = 0
    while v:
        low = v & -v
        out ^= columns[low.bit_length() - 1]
        v ^= low
    return out


def jumped(s):
    columns = [pack(step(unpack(1 << i))) for i in range(128)]
    for _ in range(64):
        columns = [apply(columns, c) for c in columns]
    return unpack(apply(columns, pack(s)))


def finalise(h):
    h ^= h >> 16
    h = h * 0x85EBCA6B & M
    h ^= h >> 13
    h = h * 0xC2B2AE35 & M
    return h ^ h >> 16


def seeded(seed):
    return [finalise((seed + (i + 1) * 0x9E3779B9) & M) for i in range(4)]


print(json.dumps({
    "source": "random.py beside this file",
    "state1234": draws([1, 2, 3, 4], 10),
    "state1234AfterJump": draws(jumped([1, 2, 3, 4]), 5),
    "seeds": [{"seed": z, "state": seeded(z), "draws": draws(seeded(z), 6)} for z in (0, 1, 42, 20261125, M)],
}, indent=1))
