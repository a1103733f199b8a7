import { type SubmitEvent, useState } from 'react';
import { protectOpenings, readProtection } from '../platform/api/custody.js';
import { readWindow } from '../platform/api/windows.js';
import { Cautions } from '../platform/Cautions.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { OpeningsMap } from './OpeningsMap.js';
import { openingState, type Protection, protectionsOf } from './protections.js';

const kinds = ['temporary-glazing', 'boarding', 'sheeting', 'none'] as const;

const kindWords = (by: Protection['by']): string =>
  ({
    'temporary-glazing': say('temporary glazing'),
    boarding: say('boards'),
    sheeting: say('sheeting'),
    none: say('taken away, or left open'),
  })[by];

/** Openings closed against weather while their panels are away; looked at again; opened. */
export function ProtectPaper({ windowId }: { windowId: string }) {
  const found = useAnswer(`openings ${windowId}`, (signal) => readWindow(windowId, {}, signal));
  const steps = useAnswer(`protection ${windowId}`, (signal) => readProtection(windowId, signal));
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [by, setBy] = useState<Protection['by'] | null>(null);
  const [how, setHow] = useState('');
  const [checked, setChecked] = useState('');
  const [note, setNote] = useState('');
  const { busy, why, run } = useAct();
  if (found.value === undefined || steps.value === undefined)
    return (
      <p role={(found.why ?? steps.why) ? 'alert' : 'status'}>
        {found.why ?? steps.why ?? say('asking where everything is…')}
      </p>
    );
  const protections = protectionsOf(steps.value);
  const { panels } = found.value;
  const states = new Map(
    panels.map(({ mark, workState }) => [mark, openingState(workState, protections.get(mark))]),
  );
  const empty = panels.filter(({ mark }) => states.get(mark) !== 'glazed');
  const tap = (mark: string) => {
    const next = new Set(chosen);
    if (!next.delete(mark)) next.add(mark);
    setChosen(next);
  };
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      if (by === null) throw new Error(say('Say what closes the opening.'));
      if (chosen.size === 0) throw new Error(say('Choose the openings.'));
      await protectOpenings(windowId, {
        panels: [...chosen],
        by,
        images: [],
        ...(how === '' ? {} : { how }),
        ...(checked === '' ? {} : { checkedByRole: checked }),
        ...(note === '' ? {} : { note }),
        happened: today(),
      });
      setChosen(new Set());
      steps.again();
    });
  };
  return (
    <form aria-label={say('Openings while their panels are away')} onSubmit={record}>
      <OpeningsMap panels={panels} states={states} chosen={chosen} onTap={tap} />
      {empty.length === 0 ? (
        <p>{say('Every panel is in its opening.')}</p>
      ) : (
        <fieldset className="field">
          <legend>{say('Openings without their panel: tap those you speak of')}</legend>
          <div className="taps">
            {empty.map(({ mark }) => {
              const protection = protections.get(mark);
              const isOpen = states.get(mark) === 'open';
              return (
                <button
                  key={mark}
                  type="button"
                  className={`quiet opening is-${isOpen ? 'open' : 'closed'}`}
                  aria-pressed={chosen.has(mark)}
                  onClick={() => {
                    tap(mark);
                  }}
                >
                  <b>{mark}</b>{' '}
                  <small>
                    {isOpen || protection === undefined
                      ? say('open')
                      : say('{what}, seen {day}', {
                          what: kindWords(protection.by),
                          day: protection.happened ?? '–',
                        })}
                  </small>
                </button>
              );
            })}
          </div>
        </fieldset>
      )}
      <OneOf
        legend={say('What closes them')}
        options={kinds}
        value={by}
        onValue={setBy}
        words={kindWords}
      />
      {by === null ? null : <Cautions keys={['open-opening', 'height']} />}
      <TextField
        label={say('How it is fixed')}
        hint={say('sheet, fixing, ventilation')}
        value={how}
        onValue={setHow}
      />
      <TextField
        label={say('Who looked whether it holds and keeps rain out')}
        placeholder={say('glazier')}
        value={checked}
        onValue={setChecked}
      />
      <TextField label={say('Note')} value={note} onValue={setNote} />
      <Refusal why={why} />
      <button type="submit" className="act wide" disabled={busy || empty.length === 0}>
        {say('So they stand today')}
      </button>
    </form>
  );
}
