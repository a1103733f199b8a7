import { useState } from 'react';
import { type BarBay, barBays } from '#libs/elevation';
import {
  type BarEnds,
  MATERIALS,
  type MaterialKey,
  materialOf,
  StructureError,
  sectionFigures,
  windPressurePa,
} from '#libs/structure';
import { STRUCTURAL_DEFERRAL } from '#libs/vocabulary';
import type { WindowRow } from '../platform/api/windows.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { sayFixed } from '../platform/say-number.js';
import { BarsTable } from './BarsTable.js';
import {
  SectionFields,
  type Shape,
  SIZE_WORDS,
  sectionOf,
  USUAL_SECTION,
} from './SectionFields.js';
import { type BarQuestion, type BarRow, barRows } from './say-bar.js';

const ENDS: readonly BarEnds[] = ['resting', 'held'];
const endsWords: Readonly<Record<BarEnds, string>> = {
  resting: say('lie in their holes'),
  held: say('are set in fast'),
};

/** Figures that a person types here, as the refusals name them. */
const FIGURE_WORDS: Readonly<Record<string, string>> = {
  ...SIZE_WORDS,
  windMPerS: say('Wind, m/s'),
};

/** Bars of one window under wind and heat, reckoned where it is read; nothing of it is recorded. */
export function BarsPaper({ window: one, mark }: { window: WindowRow; mark: string }) {
  const [shape, setShape] = useState<Shape>('round');
  const [sizes, setSizes] = useState(USUAL_SECTION);
  const [material, setMaterial] = useState<MaterialKey>('steel');
  const [ends, setEnds] = useState<BarEnds>('resting');
  const [wind, setWind] = useState('24');
  const [warmer, setWarmer] = useState('40');
  const [limit, setLimit] = useState('360');
  const number = (text: string) => readNumber(text) ?? Number.NaN;
  const question: BarQuestion = {
    section: sectionOf(shape, sizes),
    material,
    ends,
    windMPerS: number(wind),
    warmerK: number(warmer),
    limit: number(limit),
  };
  const bays = barBays(one.drawing as Parameters<typeof barBays>[0]);
  const found = reckoned(bays, question);
  return (
    <>
      <section className="paper stack" aria-label={say('What the bars are')}>
        <div>
          <h1>{rich('Bars of {mark}', { mark })}</h1>
          <p className="sub">{say('how far they bend in the wind, and grow in the sun')}</p>
        </div>
        <OneOf
          legend={say('Made of')}
          options={MATERIALS.map(({ key }) => key)}
          value={material}
          onValue={setMaterial}
          words={(key) => sayWord(materialOf(key).label)}
        />
        <SectionFields shape={shape} text={sizes} onShape={setShape} onText={setSizes} />
        <OneOf
          legend={say('Their ends')}
          options={ENDS}
          value={ends}
          onValue={setEnds}
          words={(key) => endsWords[key]}
        />
        <NumberField
          label={say('Wind, m/s')}
          value={wind}
          onValue={setWind}
          hint={say(
            '24 is an example. Take the speed of your local code, with its factors for place and height.',
          )}
        />
        <div className="two">
          <NumberField label={say('Warmer by, K')} value={warmer} onValue={setWarmer} />
          <NumberField
            label={say('Look at bars that bend more than 1 in')}
            value={limit}
            onValue={setLimit}
            hint={say('Your own limit; 360 is common practice, no source.')}
          />
        </div>
      </section>
      <section className="paper wide stack" aria-label={say('What comes of it')}>
        {typeof found === 'string' ? (
          <p role="alert">{found}</p>
        ) : (
          <>
            <BarsTable rows={found} />
            <FormulaSheet question={question} />
          </>
        )}
        <div className="caution" role="note">
          <p>{sayWord(STRUCTURAL_DEFERRAL)}</p>
        </div>
      </section>
    </>
  );
}

function reckoned(bays: readonly BarBay[], question: BarQuestion): readonly BarRow[] | string {
  if (bays.length === 0)
    return say('No bars are drawn in this window yet. Draw them under "change the drawing".');
  try {
    return barRows(bays, question);
  } catch (error) {
    if (error instanceof StructureError) {
      const label = FIGURE_WORDS[error.field] ?? error.field;
      return `${label}: ${error.message}.`;
    }
    throw error;
  }
}

/** How every number above was come by. */
function FormulaSheet({ question }: { question: BarQuestion }) {
  const { section, material, ends, windMPerS } = question;
  const { secondMomentMm4, farthestMm, formula } = sectionFigures(section);
  const { label, youngGPa, growthPerMK, source } = materialOf(material);
  return (
    <details className="how">
      <summary>{say('How this was reckoned')}</summary>
      <ul className="formulas">
        <li>
          {say(
            'wind: q = ρ v² / 2 = {value} Pa, ρ 1.25 kg/m³ (EN 1991-1-4, from memory); all of it is taken by this glazing, as if there were no other before it',
            { value: sayFixed(windPressurePa(windMPerS), 0) },
          )}
        </li>
        <li>
          {say('load on a bar: w = q s, s half of the bay above and half of that below, as drawn')}
        </li>
        <li>
          {rich('section: {formula} = {value} mm⁴, farthest fibre ', {
            formula,
            value: sayFixed(secondMomentMm4, 0),
          })}
          {sayFixed(farthestMm, 1)} mm
        </li>
        <li>
          {rich('{label}: E {used} GPa (handbooks {low} to {high}), α ', {
            label,
            used: youngGPa.used,
            low: youngGPa.low,
            high: youngGPa.high,
          })}
          {growthPerMK} · 10⁻⁶/K; {source}
        </li>
        <li>
          {say(
            'bending: even load over the free lengths of the lights, the bar going on over the stone between them (equation of three moments), ends that {ends}; one light gives ',
            { ends: ends === 'resting' ? say('may turn') : say('cannot turn') },
          )}
          {ends === 'resting' ? say('5 w L⁴ / 384 E I') : say('w L⁴ / 384 E I')}
        </li>
        <li>{say('stress: σ = M c / I; growth: ΔL = α L ΔT over the free lengths')}</li>
        <li>
          {say(
            'they hold only while the metal springs back; left out: the stiffness of lead and glass, ties, rust, holes that have worn wide, wind that sucks, gusts that rock',
          )}
        </li>
      </ul>
    </details>
  );
}
