#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes sobol_directions.cpp: the first direction numbers of Joe and Kuo (2008), new-joe-kuo-6.

The numbers come from the data file of scipy.stats.qmc, which holds all 21201 dimensions.
usage: sobol_directions.py [--check]      (--check: exit 1 when the committed file differs)
needs scipy, numpy; exit 77 when they are missing
"""
import pathlib
import sys

try:
    import numpy as np
    import scipy.stats
except ImportError as missing:
    print("skipped: a reference library is missing:", missing)
    sys.exit(77)

DIMENSIONS = 128
OUT = pathlib.Path(__file__).resolve().parent / "sobol_directions.cpp"
HEAD = """\
// SPDX-License-Identifier: Apache-2.0 AND BSD-3-Clause
// Direction numbers of Sobol sequences, written by sobol_directions.py. Data, no logic.
// Source: [Joe2008], set new-joe-kuo-6. Their licence:
//
// Copyright (c) 2008, Frances Y. Kuo and Stephen Joe
// All rights reserved.
//
// Redistribution and use in source and binary forms, with or without modification, are permitted
// provided that the following conditions are met:
//   * Redistributions of source code must retain the above copyright notice, this list of
//     conditions and the following disclaimer.
//   * Redistributions in binary form must reproduce the above copyright notice, this list of
//     conditions and the following disclaimer in the documentation and/or other materials provided
//     with the distribution.
//   * Neither the names of the copyright holders nor the names of the University of New South Wales
//     and the University of Waikato and its contributors may be used to endorse or promote products
//     derived from this software without specific prior written permission.
//
// THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS ``AS IS'' AND ANY EXPRESS OR IMPLIED
// WARRANTIES, INCLUDING, BUT NOT LIMITED TO, THE IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS
// FOR A PARTICULAR PURPOSE ARE DISCLAIMED. IN NO EVENT SHALL THE COPYRIGHT HOLDERS BE LIABLE FOR
// ANY DIRECT, INDIRECT, INCIDENTAL, SPECIAL, EXEMPLARY, OR CONSEQUENTIAL DAMAGES (INCLUDING, BUT
// NOT LIMITED TO, PROCUREMENT OF SUBSTITUTE GOODS OR SERVICES; LOSS OF USE, DATA, OR PROFITS; OR
// BUSINESS INTERRUPTION) HOWEVER CAUSED AND ON ANY THEORY OF LIABILITY, WHETHER IN CONTRACT, STRICT
// LIABILITY, OR TORT (INCLUDING NEGLIGENCE OR OTHERWISE) ARISING IN ANY WAY OUT OF THE USE OF THIS
// SOFTWARE, EVEN IF ADVISED OF THE POSSIBILITY OF SUCH DAMAGE.
#include "sobol_directions.hpp"

namespace cabinload::study {

const std::array<SobolPolynomial, kSobolDimensions> kSobolPolynomials = {{
"""
TAIL = "}};\n\n}  // namespace cabinload::study\n"


def table():
    path = pathlib.Path(scipy.stats.__file__).parent / "_sobol_direction_numbers.npz"
    data = np.load(path)
    rows = []
    for polynomial, first in zip(data["poly"][:DIMENSIONS], data["vinit"][:DIMENSIONS]):
        degree = int(polynomial).bit_length() - 1
        numbers = ", ".join(str(m) for m in first[:degree])
        rows.append(f"    {{{polynomial}, {{{numbers}}}}},\n")
    return "".join(rows)


def main():
    text = HEAD + table() + TAIL
    if "--check" in sys.argv[1:]:
        same = OUT.read_text(encoding="utf-8") == text
        print("as committed" if same else f"{OUT} differs")
        return 0 if same else 1
    OUT.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
