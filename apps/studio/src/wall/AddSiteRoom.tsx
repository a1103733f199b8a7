import { type SubmitEvent, useState } from 'react';
import { addSite, siteMark } from '../platform/api/sites.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { goTo } from '../platform/navigate.js';
import { OneOf } from '../platform/OneOf.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { Shell } from '../platform/Shell.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';

/** A new site: its code begins every mark, for ever. */
export function AddSiteRoom() {
  const [name, setName] = useState('');
  const [code, setCode] = useState('');
  const [unit, setUnit] = useState('');
  const [scheme, setScheme] = useState<'church' | 'free'>('church');
  const [where, setWhere] = useState('');
  const { busy, why, field, run } = useAct();
  const add = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      const site = await addSite({
        code,
        name,
        scheme,
        ...(unit === '' ? {} : { unit }),
        ...(where === '' ? {} : { place: where }),
      });
      goTo(pathOf(siteMark(site), 'add-window'));
    });
  };
  return (
    <Shell mark={null} sentence={say('adding a site')}>
      <div className="scroll">
        <form className="paper stack" onSubmit={add}>
          <div>
            <h1>{say('A new site')}</h1>
            <p className="sub">
              {say('A building, or a collection, whose windows you look after.')}
            </p>
          </div>
          <TextField
            label={say('Name')}
            required
            aria-invalid={field === 'name'}
            value={name}
            onValue={setName}
          />
          <div className="two">
            <TextField
              label={say('Code')}
              hint={say('2 to 8 capitals or digits; begins every mark')}
              required
              placeholder="SLM"
              aria-invalid={field === 'code'}
              value={code}
              onValue={(value) => {
                setCode(value.toUpperCase());
              }}
            />
            <TextField
              label={say('Unit')}
              hint={say('only for a building counted on its own')}
              placeholder="CH"
              aria-invalid={field === 'unit'}
              value={unit}
              onValue={(value) => {
                setUnit(value.toUpperCase());
              }}
            />
          </div>
          <OneOf
            legend={say('Windows are numbered')}
            options={['church', 'free'] as const}
            value={scheme}
            onValue={setScheme}
            words={(value) =>
              value === 'church'
                ? say('from the east: I, nII, sII, wI…')
                : say('freely: hall-2, stair-1…')
            }
          />
          <TextField
            label={say('Place')}
            hint={say('left out of dossiers that are handed out')}
            value={where}
            onValue={setWhere}
          />
          {code === '' ? null : (
            <p className="hint">
              {rich('A piece here will be called {unit}.{scheme}.2b.17', {
                unit: unit === '' ? code : `${code}:${unit}`,
                scheme: scheme === 'church' ? 'sII' : say('hall-2'),
              })}
            </p>
          )}
          <Refusal why={why} />
          <div className="row">
            <button type="submit" disabled={busy}>
              {say('Add the site')}
            </button>
            <Go className="act quiet" to="/">
              {say('Back to the wall')}
            </Go>
          </div>
        </form>
      </div>
    </Shell>
  );
}
