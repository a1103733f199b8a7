import { type SubmitEvent, useMemo, useState } from 'react';
import { ElevationError, type WindowDrawing, windowDrawingSchema } from '#libs/elevation';
import { type MarkPlace, readSites, siteMark } from '../platform/api/sites.js';
import { addWindow, readWindow, redrawWindow, type WindowAnswer } from '../platform/api/windows.js';
import { Field } from '../platform/Field.js';
import { Go } from '../platform/Go.js';
import { NumberField } from '../platform/NumberField.js';
import { goTo } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { Shell } from '../platform/Shell.js';
import { Table } from '../platform/Table.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { OpeningFields } from './OpeningFields.js';
import { drawingOf, letterOf, planOf } from './plan-window.js';
import { TraceryFields } from './TraceryFields.js';
import { WallSheet } from './WallSheet.js';
import type { WallLook } from './wall-layers.js';
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
      <Shell mark={at.fullMark} sentence="laying out paper…">
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
          <>
            changing the drawing of <b>{before.mark}</b>
          </>
        ) : (
          <>
            drawing a window of <b>{site}</b>, from <b>inside</b>
          </>
        )
      }
    >
      <Table
        papers="the measures"
        startOpen
        drawing={
          <>
            {drawn.shape ? <Drawn shape={drawn.shape} title={mark || 'window'} /> : null}
            {'fault' in drawn ? (
              <p className="over-drawing" role="status">
                {drawn.fault}
              </p>
            ) : (
              <p className="unseen" aria-live="polite">
                {drawn.shape.places.length} panels
              </p>
            )}
          </>
        }
        beside={
          <form className="paper stack" onSubmit={keep}>
            <div>
              <h2>{before ? `Window ${before.mark}` : 'A new window'}</h2>
              <p className="sub">All measures in millimetres, as seen from inside.</p>
            </div>
            {before ? null : (
              <div className="two">
                <Field label="Mark" hint={church ? 'I, nII, sII, wI…' : 'hall-2, stair-1…'}>
                  {(ids) => (
                    <input
                      {...ids}
                      required
                      autoCapitalize="off"
                      spellCheck={false}
                      value={mark}
                      aria-invalid={field === 'mark'}
                      onChange={(event) => {
                        setMark(event.target.value);
                      }}
                    />
                  )}
                </Field>
                <Field label="Title">
                  {(ids) => (
                    <input
                      {...ids}
                      required
                      value={title}
                      placeholder="west window"
                      aria-invalid={field === 'title'}
                      onChange={(event) => {
                        setTitle(event.target.value);
                      }}
                    />
                  )}
                </Field>
              </div>
            )}
            <OpeningFields
              legend="The opening"
              value={form.opening}
              onValue={(opening) => {
                set({ opening });
              }}
            />
            <fieldset className="field">
              <legend>Lights</legend>
              <div className="two">
                <NumberField
                  label="Side by side"
                  value={form.lights}
                  onValue={(lights) => {
                    set({ lights });
                  }}
                />
                {several ? (
                  <NumberField
                    label="Between two"
                    value={form.mullion}
                    onValue={(mullion) => {
                      set({ mullion });
                    }}
                    hint="stone or wood"
                  />
                ) : null}
              </div>
              {several ? (
                <OpeningFields
                  legend={`Each light (a to ${letterOf(Number(form.lights) - 1)})`}
                  value={form.light}
                  onValue={(light) => {
                    set({ light });
                  }}
                />
              ) : null}
            </fieldset>
            <NumberField
              label="Rows of panels"
              value={form.rows}
              onValue={(rows) => {
                set({ rows });
              }}
              hint="how many equal ones, or each height, the lowest first: 520, 480, 480"
            />
            <NumberField
              label="Bars at these heights over the sill"
              value={form.bars}
              onValue={(bars) => {
                set({ bars });
              }}
              hint="with commas; empty for none"
            />
            <TraceryFields
              value={form.tracery}
              onValue={(tracery) => {
                set({ tracery });
              }}
            />
            {before ? (
              <label className="tick">
                <input
                  type="checkbox"
                  checked={retire}
                  onChange={(event) => {
                    setRetire(event.target.checked);
                  }}
                />
                Panels that fall out of the drawing are retired even if findings lie on them
                (nothing is deleted)
              </label>
            ) : null}
            <Refusal why={why} />
            <div className="row">
              <button type="submit" disabled={busy || 'fault' in drawn}>
                {before ? 'Keep the new drawing' : 'Keep this window'}
              </button>
              <Go className="act quiet" to={pathOf(before ? `${site}.${before.mark}` : site)}>
                Back
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
  if ('missing' in plan) return { fault: `still missing: ${plan.missing}` };
  try {
    const drawing = windowDrawingSchema.parse(drawingOf(plan));
    return { shape: windowShape(drawing), drawing };
  } catch (error) {
    if (error instanceof ElevationError) return { fault: error.message };
    return { fault: 'these measures make no window yet' };
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
      label="The window as drawn so far"
    />
  );
}

const plainLook: WallLook = { showing: null, panels: new Map(), windowId: null };
const noOutlines: ReadonlyMap<string, never> = new Map<string, never>();
