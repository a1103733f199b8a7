import { PictureStrength } from '../drawing/PictureStrength.js';
import { sayMedia } from '../platform/api/media.js';
import { Hold } from '../platform/Hold.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { setWords } from '../platform/navigate.js';
import { OneOf } from '../platform/OneOf.js';
import { LampClock } from './LampClock.js';
import { sheetWays } from './sheets.js';
import type { Stack } from './use-stack.js';

/** How the sheets are held against each other, how strongly they shine, where the lamp stands. */
export function SheetControls({ stack }: { stack: Stack }) {
  const { under, over, way, ratio, lamps } = stack;
  const shown = [over, under].find((media) => media?.light?.kind === 'raking') ?? null;
  return (
    <div className="sheet-controls">
      {under || over ? <PictureStrength strength={stack.strength} /> : null}
      {under && over ? (
        <div className="sheet-pair" role="group" aria-label={say('Two sheets')}>
          <OneOf
            legend={say('Two sheets')}
            options={sheetWays}
            value={way}
            onValue={(value) => {
              setWords({ way: value });
            }}
          />
          {way === 'fade' ? (
            <PictureStrength picture={sayMedia(over)} word="by" strength={ratio} />
          ) : null}
          <Hold onHold={stack.hold}>
            {rich('hold: the other one {kbd}', { kbd: <kbd aria-hidden="true">B</kbd> })}
          </Hold>
          <button
            type="button"
            className="quiet"
            onClick={() => {
              setWords({ over: null, way: null, by: null });
            }}
          >
            {say('only one sheet')}
          </button>
        </div>
      ) : null}
      {lamps.length > 0 ? (
        <LampClock lamps={lamps} shown={shown?.mediaId ?? null} onLamp={stack.relight} />
      ) : null}
    </div>
  );
}
