import fc from 'fast-check';
import { ProofFileError, parseProofFile, proofFileText } from './proof-file.js';
import { bundleBytes, bundlePath, entriesInBundle, type Tile, tilePath, tilesOf } from './tiles.js';

describe('tiles', () => {
  it('are counted as C2SP tlog-tiles, "Partial Tiles", says for 70,000 and 256 entries', () => {
    // "273 full level 0 tiles, one partial level 0 tile of width 112, one full level 1 tile, one
    // partial level 1 tile of width 17, and one partial level 2 tile of width 1"
    expect(told(70_000)).toEqual(['0: 273 full', '0: 112', '1: 1 full', '1: 17', '2: 1']);
    // "a full level 0 tile and a partial level 1 tile of width 1"
    expect(told(256)).toEqual(['0: 1 full', '1: 1']);
    expect(told(0)).toEqual([]);
  });

  it('lie under the paths of C2SP tlog-tiles, "Merkle Tree"', () => {
    // "index 1234067 will be encoded as x001/x234/067"
    expect(tilePath({ level: 3, index: 1_234_067, width: 256 })).toBe('tile/3/x001/x234/067');
    expect(tilePath({ level: 0, index: 273, width: 112 })).toBe('tile/0/273.p/112');
    expect(bundlePath({ index: 1000, width: 256 })).toBe('tile/entries/x001/000');
  });

  it('hold entries after their length, and nothing else', () => {
    // C2SP tlog-tiles, "Log entries": big-endian uint16 length-prefixed
    const bytes = bundleBytes([new Uint8Array([7]), new Uint8Array(0), new Uint8Array(258)]);
    expect([...bytes.subarray(0, 7)]).toEqual([0, 1, 7, 0, 0, 1, 2]);
    expect(entriesInBundle(bytes, 3)?.map((entry) => entry.length)).toEqual([1, 0, 258]);
    expect(entriesInBundle(bytes, 2)).toBeUndefined();
    expect(entriesInBundle(bytes, 4)).toBeUndefined();
    expect(entriesInBundle(bytes.subarray(0, 100), 3)).toBeUndefined();
    expect(() => bundleBytes([new Uint8Array(65_536)])).toThrow('65,535');
  });
});

describe('a proof as a file', () => {
  // The lines of the example in C2SP tlog-proof, its shortened signatures replaced.
  const example = [
    'c2sp.org/tlog-proof@v1',
    'extra AAECAw==',
    'index 73894',
    'gSKyXoYZUgZ6jduWYrkDOARinOMGJveXjgMkBTcdPlQ=',
    'B95lDa8R83lS8n0eG+o0buTxRKQTYFi//1U8anccXmA=',
    '',
    'example.com/fancylog',
    '109482',
    'sFodV/vSp5O8n9a8QpW6PRY97tfOSW5bsc2Xl/EQi08=',
    '',
    '— example.com/fancylog AAAAAAAA',
    '',
  ].join('\n');

  it('is read as C2SP tlog-proof writes it', () => {
    const read = parseProofFile(example);
    expect(read.index).toBe(73_894);
    expect(read.hashes.map((hash) => Buffer.from(hash).toString('base64'))).toEqual([
      'gSKyXoYZUgZ6jduWYrkDOARinOMGJveXjgMkBTcdPlQ=',
      'B95lDa8R83lS8n0eG+o0buTxRKQTYFi//1U8anccXmA=',
    ]);
    expect(read.checkpointNote).toBe(
      example.slice(example.indexOf('example.com/fancylog\n109482')),
    );
    expect(proofFileText(read)).toBe(example.replace('extra AAECAw==\n', ''));
  });

  it('is refused when a line is not what it must be', () => {
    for (const [from, to] of [
      ['tlog-proof@v1', 'tlog-proof@v2'],
      ['index 73894', 'index 073894'],
      ['index 73894\n', ''],
      ['extra AAECAw==', 'extra AAECAw'],
      ['gSKyXoY', 'gSKyXo'],
      ['\n\nexample', '\nexample'],
    ] as const) {
      expect(() => parseProofFile(example.replace(from, to))).toThrow(ProofFileError);
    }
  });

  it('comes back as it was written', () => {
    const hash = fc.uint8Array({ minLength: 32, maxLength: 32 });
    fc.assert(
      fc.property(fc.nat(), fc.array(hash, { maxLength: 40 }), (index, hashes) => {
        const file = { index, hashes, checkpointNote: 'a\n1\nx\n\n— a b\n' };
        expect(parseProofFile(proofFileText(file))).toEqual(file);
      }),
    );
  });
});

function told(size: number): string[] {
  const full = new Map<number, number>();
  const lines: string[] = [];
  const flush = ({ level }: Pick<Tile, 'level'>) => {
    if (full.has(level)) lines.push(`${level}: ${full.get(level)!} full`);
    full.delete(level);
  };
  let before: Tile | undefined;
  for (const tile of tilesOf(size)) {
    if (before !== undefined && (before.level !== tile.level || tile.width < 256)) flush(before);
    if (tile.width === 256) full.set(tile.level, (full.get(tile.level) ?? 0) + 1);
    else lines.push(`${tile.level}: ${tile.width}`);
    before = tile;
  }
  if (before !== undefined) flush(before);
  return lines;
}
