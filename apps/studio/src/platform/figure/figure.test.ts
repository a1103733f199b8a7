import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { explanations } from './explanations.js';

const studio = fileURLToPath(new URL('../..', import.meta.url));
const screens = readdirSync(studio, { recursive: true, encoding: 'utf8' })
  .filter((path) => path.endsWith('.tsx') && !path.endsWith('.test.tsx'))
  .map((path) => ({ path, source: readFileSync(`${studio}/${path}`, 'utf8') }));

/** What writes a measured or reckoned number on a screen. */
const writesNumber = /\bsay(Mm|Fixed|AreaMm2|LengthMm|PanelMm|SizeMm|Measure|Hours)\(/;
const saysHow = /<(Figure|Why|FactsTable)\b/;

/** Numbers that say themselves what they are, or that stand with their "?" on the paper beside. */
const withoutWhy: Readonly<Record<string, string>> = {
  'apart/GaugeForm.tsx': 'typed here',
  'bench/ScaleBar.tsx': 'the scale itself, drawn',
  'glass/MadePaper.tsx': 'the offcut as it was laid out; the drawing of the sheets says how',
  'phone/findings/BothPaper.tsx': 'two findings side by side; the bench says how each was measured',
  'phone/findings/NotesPaper.tsx': 'what is on its way; the bench says how it was measured',
  'estimate/AlternativeFields.tsx': 'lines of the estimate being written; its heading says how',
  'findings/CopyPaper.tsx': 'what is about to be copied; the finding says how',
  'findings/NumbersForm.tsx': 'typed here',
  'findings/TracePaper.tsx': 'the outline being tapped; the piece says how',
  'rubbing/MarkList.tsx': 'the place of a tap, in pixels',
  'shards/KeepPaper.tsx': 'what is kept of what lies; the paper of what lies says how',
  'shards/PicturesPaper.tsx': 'typed or tapped here',
  'shards/ScaleTaps.tsx': 'two taps and the distance typed here',
  'shards/TrayPaper.tsx': 'sizes of shards, to tell them apart',
  'structure/BarsPaper.tsx': 'the sheet of formulas',
  'survey/ReadingsForm.tsx': 'typed here',
  'tests/TestPlaces.tsx': 'the place of a tap',
  'technique/TechniqueFacts.tsx': 'as it was said; the sheet of the technique says how',
  'technique/ThicknessPlate.tsx': 'readings on the piece; the line under it says how',
};

describe('a number on a screen', () => {
  const bare = screens.filter(({ source }) => writesNumber.test(source) && !saysHow.test(source));

  it('says how it was come by, on every screen that writes one', () => {
    expect(screens.filter(({ source }) => saysHow.test(source)).length).toBeGreaterThan(15);
    expect(bare.map(({ path }) => path).filter((path) => !(path in withoutWhy))).toEqual([]);
  });
  it('has no exception that is none', () => {
    const paths = bare.map(({ path }) => path);
    expect(Object.keys(withoutWhy).filter((path) => !paths.includes(path))).toEqual([]);
  });
});

describe('explanations', () => {
  it.each(Object.keys(explanations))('%s is given on a screen', (kind) => {
    const given = screens.some(
      ({ source }) => source.includes(`'${kind}'`) || source.includes(`kind="${kind}"`),
    );
    expect(given).toBe(true);
  });
  it.each(Object.entries(explanations))(
    '%s says what, how, how far off and from where',
    (_, it) => {
      for (const words of [it.what, it.how, it.off, it.source])
        expect(words.length).toBeGreaterThanOrEqual(15);
    },
  );
});
