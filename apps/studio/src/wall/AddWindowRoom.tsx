import { type SubmitEvent, useMemo, useState } from 'react';
import { ElevationError, type WindowDrawing, windowDrawingSchema } from '#libs/elevation';
import { type MarkPlace, readSites, siteMark } from '../platform/api/sites.js';
import { addWindow, readWindow, redrawWindow, type WindowAnswer } from '../platform/api/windows.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { goTo } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { OpeningFields } from './OpeningFields.js';
import { drawingOf, letterOf, planOf } from './plan-window.js';
import { TraceryFields } from './TraceryFields.js';
import { WallSheet } from './WallSheet.js';
import type { WallLook } from './wall-ink.js';
import { hangAlone } from './wall-layout.js';
import { emptyForm, formOf, planOfForm, type WindowForm } from './window-form.js';
import { type WindowShape, windowShape } from './window-shape.js';

/** Draw a window from its measures, with the drawing beside the numbers; or redraw one. */
export function AddWindowRoom({ at }: { at: MarkPlace }) {
  const known = useAnswer(at.windowId ? `window ${at.windowId}` : null, (signal) =>
    readWindow(at.windowId ?? '', {}, signal),
  );
  const sites = useAnswer('sites', readSites);
  const site = sites.value?.find((candidate) => candidate.siteId === at.siteId);
  if (!site || (at.windowId && !known.value))
    return (
      <Shell mark={at.fullMark} sentence={say('laying out paper…')}>
        {known.why ? <p role="alert">{known.why}</p> : null}
      </Shell>
    );
  return (
    <WindowDesk
      key={at.windowId ?? 'new'}
      siteId={at.siteId}
      mark={siteMark(site)}
      church={site.scheme === 'church'}
      before={known.value}
    />
  );
}

function WindowDesk({
  siteId,
  mark: site,
  church,
  before,
}: {
  siteId: string;
  mark: string;
  church: boolean;
  before: WindowAnswer | undefined;
}) {
  const [form, setForm] = useState<WindowForm>(() => {
    const read = windowDrawingSchema.safeParse(before?.drawing);
    return read.success ? formOf(planOf(read.data)) : emptyForm;
  });
  const [mark, setMark] = useState(before?.mark ?? '');
  const [title, setTitle] = useState(before?.title ?? '');
  const [retire, setRetire] = useState(false);
  const { busy, why, field, run } = useAct();
  const drawn = useMemo(() => draw(form), [form]);
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    if (!('drawing' in drawn)) return;
    void run(async () => {
      if (before)
        await redrawWindow(
          before.windowId,
          { drawing: drawn.drawing, ...(retire ? { retire } : {}) },
          before.version,
        );
      else await addWindow(siteId, { mark, title, drawing: drawn.drawing });
      goTo(pathOf(`${site}.${before?.mark ?? mark}`));
    });
  };
  const set = (change: Partial<WindowForm>) => {
    setForm({ ...form, ...change });
  };
  const several = Number(form.lights) > 1;
  return (
    <Shell
      mark={before ? `${site}.${before.mark}` : site}
      sentence={
        before ? (
          <>{rich('changing the drawing of {b}', { b: <b>{before.mark}</b> })}</>
        ) : (
          <>
            {rich('drawing a window of {b}, from <b2>inside</b2>', {
              b: <b>{site}</b>,
              b2: (words) => <b>{words}</b>,
            })}
          </>
        )
      }
    >
      <Table
        papers={say('the measures')}
        startOpen
        drawing={
          <>
            {drawn.shape ? <Drawn shape={drawn.shape} title={mark || say('window')} /> : null}
            {'fault' in drawn ? (
              <p className="over-drawing" role="status">
                {drawn.fault}
              </p>
            ) : (
              <p className="unseen" aria-live="polite">
                {say('{places} panels', { places: drawn.shape.places.length })}
              </p>
            )}
          </>
        }
        beside={
          <form className="paper stack" onSubmit={keep}>
            <div>
              <h2>{before ? say('Window {mark}', { mark: before.mark }) : say('A new window')}</h2>
              <p className="sub">{say('All measures in millimetres, as seen from inside.')}</p>
            </div>
            {before ? null : (
              <div className="two">
                <TextField
                  label={say('Mark')}
                  hint={church ? say('I, nII, sII, wI…') : say('hall-2, stair-1…')}
                  required
                  autoCapitalize="off"
                  spellCheck={false}
                  aria-invalid={field === 'mark'}
                  value={mark}
                  onValue={setMark}
                />
                <TextField
                  label={say('Title')}
                  required
                  placeholder={say('west window')}
                  aria-invalid={field === 'title'}
                  value={title}
                  onValue={setTitle}
                />
              </div>
            )}
            <OpeningFields
              legend={say('The opening')}
              value={form.opening}
              onValue={(opening) => {
                set({ opening });
              }}
            />
            <fieldset className="field">
              <legend>{say('Lights')}</legend>
              <div className="two">
                <NumberField
                  label={say('Side by side')}
                  value={form.lights}
                  onValue={(lights) => {
                    set({ lights });
                  }}
                />
                {several ? (
                  <NumberField
                    label={say('Between two')}
                    value={form.mullion}
                    onValue={(mullion) => {
                      set({ mullion });
                    }}
                    hint={say('stone or wood')}
                  />
                ) : null}
              </div>
              {several ? (
                <OpeningFields
                  legend={say('Each light (a to {lights})', {
                    lights: letterOf(Number(form.lights) - 1),
                  })}
                  value={form.light}
                  onValue={(light) => {
                    set({ light });
                  }}
                />
              ) : null}
            </fieldset>
            <NumberField
              label={say('Rows of panels')}
              value={form.rows}
              onValue={(rows) => {
                set({ rows });
              }}
              hint={say('how many equal ones, or each height, the lowest first: 520, 480, 480')}
            />
            <NumberField
              label={say('Bars at these heights over the sill')}
              value={form.bars}
              onValue={(bars) => {
                set({ bars });
              }}
              hint={say('with commas; empty for none')}
            />
            <TraceryFields
              value={form.tracery}
              onValue={(tracery) => {
                set({ tracery });
              }}
            />
            {before ? (
              <label className="tick">
                {rich(
                  '{input}Panels that fall out of the drawing are retired even if findings lie on them (nothing is deleted)',
                  {
                    input: (
                      <input
                        type="checkbox"
                        checked={retire}
                        onChange={(event) => {
                          setRetire(event.target.checked);
                        }}
                      />
                    ),
                  },
                )}
              </label>
            ) : null}
            <Refusal why={why} />
            <div className="row">
              <button type="submit" disabled={busy || 'fault' in drawn}>
                {before ? say('Keep the new drawing') : say('Keep this window')}
              </button>
              <Go className="act quiet" to={pathOf(before ? `${site}.${before.mark}` : site)}>
                {say('Back')}
              </Go>
            </div>
          </form>
        }
      />
    </Shell>
  );
}

type Drawn = { shape: WindowShape; drawing: WindowDrawing } | { shape?: undefined; fault: string };

function draw(form: WindowForm): Drawn {
  const plan = planOfForm(form);
  if ('missing' in plan)
    return { fault: say('still missing: {missing}', { missing: plan.missing }) };
  try {
    const drawing = windowDrawingSchema.parse(drawingOf(plan));
    return { shape: windowShape(drawing), drawing };
  } catch (error) {
    if (error instanceof ElevationError) return { fault: error.message };
    return { fault: say('these measures make no window yet') };
  }
}

function Drawn({ shape, title }: { shape: WindowShape; title: string }) {
  const rows = useMemo(() => hangAlone(shape, title), [shape, title]);
  return (
    <WallSheet
      rows={rows}
      look={plainLook}
      outlines={noOutlines}
      box={{
        minX: -shape.widthMm * 0.06,
        minY: 0,
        maxX: shape.widthMm,
        maxY: shape.heightMm * 1.1,
      }}
      boxKey={`${shape.widthMm} ${shape.heightMm}`}
      label={say('The window as drawn so far')}
    />
  );
}

const plainLook: WallLook = { showing: null, panels: new Map(), windowId: null };
const noOutlines: ReadonlyMap<string, never> = new Map<string, never>();
