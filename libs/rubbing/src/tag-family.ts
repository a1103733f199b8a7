/**
 * The square signs printed on the target sheet: family 36h11, six by six cells inside a border one cell wide, any two at
 * least eleven cells apart in every turn.
 * Source: E. Olson, AprilTag: A robust and flexible visual fiducial system, ICRA 2011; the family's published table
 * (BSD 2-Clause), of which the first 116 words are used here: rows from the top, the first cell the highest bit, 1 white.
 */
export const TAG_CELLS = 8;
const INNER = 6;

const WORDS = `
d5d628584 d97f18b49 dd280910e e479e9c98 ebcbca822 f31dab3ac 056a5d085 10652e1d4 22b1dfead 265ad0472
34fe91b86 3ff962cd5 43a25329a 474b4385f 4e9d243e9 5246149ae 5997f5538 683bb6c4c 6be4a7211 7e3158eea
81da494af 858339a74 8cd51a5fe 9f21cc2d7 a2cabc89c adc58d9eb b16e7dfb0 b8c05eb3a d25ef139d d607e1962
e4aba3076 2dde6a3da 43d40c678 5620be351 64c47fa65 686d7002a 6c16605ef 6fbf50bb4 8d06d39dc 9f53856b5
adf746dc9 bc9b084dd d290aa77b d9e28b305 e4dd5c454 fad2fe6f2 181a8151a 26be42c2e 2e10237b8 405cd5491
7742eab1c 85e6ac230 8d388cdba 9f853ea93 c41ea2445 cf1973594 14a34a333 31eacd15b 6c79d2dab 73cbb3935
89c155bd3 8d6a46198 91133675d a708d89fb ae5ab9585 b9558a6d4 b98743ab2 d6cec68da 1506bcaef 4becd217a
4f95c273f 658b649dd a76c4b1b7 ecf621f56 1c8a56a57 3628e92ba 53706c0e2 5e6b3d231 7809cfa94 e97eead6f
5af40604a 7492988ad ed5994712 5eceaf9ed 7c1632815 c1a0095b4 e9e25d52b 3a6705419 a8333012f 4ce5704d0
508e60a95 877476120 a864e950d ea45cfce7 19da047e8 24d4d5937 6e079cc9b 99f2e11d7 33aa50429 499ff26c7
50f1d3251 66e7754ef 96ad633ce 9a5653993 aca30566c c298a790a 8be44b65d dc68f354b 16f7f919b 4dde0e826
d548cbd9f e0439ceee fd8b1fd16 76521bb7b d92375742 cab16d40c
`;

/** Cells of each tag, 36 of 0 (black) or 1 (white), rows from the top. */
export const TAG_FAMILY: readonly Uint8Array[] = WORDS.trim()
  .split(/\s+/)
  .map((word) => {
    const cells = new Uint8Array(INNER * INNER);
    const bits = BigInt(`0x${word}`);
    for (let k = 0; k < cells.length; k++) {
      cells[k] = Number((bits >> BigInt(cells.length - 1 - k)) & 1n);
    }
    return cells;
  });

/** More wrong cells than this are no tag: two tags differ in eleven at least. */
const MOST_WRONG = 3;

/**
 * @param seen 36 cells as seen, rows from the top of whatever way up the tag lies
 * @returns the tag and the quarter turns (clockwise) by which it was seen turned, or undefined
 */
export function readTag(seen: Uint8Array): { id: number; quarterTurns: number } | undefined {
  let turned = seen;
  for (let quarterTurns = 0; quarterTurns < 4; quarterTurns++) {
    for (let id = 0; id < TAG_FAMILY.length; id++) {
      const cells = TAG_FAMILY[id]!;
      let wrong = 0;
      for (let k = 0; k < cells.length && wrong <= MOST_WRONG; k++) {
        if (cells[k] !== turned[k]) wrong++;
      }
      if (wrong <= MOST_WRONG) return { id, quarterTurns };
    }
    turned = turnedBack(turned);
  }
  return undefined;
}

/** A quarter turn anticlockwise. */
function turnedBack(cells: Uint8Array): Uint8Array {
  const out = new Uint8Array(cells.length);
  for (let y = 0; y < INNER; y++) {
    for (let x = 0; x < INNER; x++) out[y * INNER + x] = cells[x * INNER + INNER - 1 - y]!;
  }
  return out;
}
