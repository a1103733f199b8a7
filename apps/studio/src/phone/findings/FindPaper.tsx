import { useState } from 'react';
import { Field } from '../../platform/Field.js';
import { rich } from '../../platform/language/rich.js';
import { say } from '../../platform/language/say.js';
import { markOfPlace } from '../label/known-place.js';
import { ReadLabel } from '../label/ReadLabel.js';
import type { KnownPanels, KnownPerson } from '../remembered.js';
import { FindingPaper } from './FindingPaper.js';
import { useKnownPanel } from './use-notes.js';

const KEY = 'mullion-phone-panel';

/** Findings of one panel: which, and whether this phone knows it without a line. */
export function FindPaper({
  person,
  panels,
  startMark,
  isConnected,
  turn,
}: {
  person: KnownPerson;
  panels: KnownPanels | null;
  startMark: string | null;
  isConnected: boolean;
  /** counts what came into the archive from here meanwhile */
  turn: number;
}) {
  const sites = panels?.sites ?? [];
  const all = sites.flatMap(({ windows }) => windows.flatMap((window) => window.panels));
  const [chosen, setChosen] = useState(startMark ?? localStorage.getItem(KEY) ?? '');
  const mark = all.find((one) => one === chosen || chosen.startsWith(`${one}.`)) ?? all[0] ?? '';
  const { panel, isLooking } = useKnownPanel(person.archiveId, mark, isConnected, turn);
  return (
    <section className="paper stack capture" aria-label={say('Write findings down')}>
      <ReadLabel
        panels={panels}
        isConnected={isConnected}
        onPlace={(place) => {
          localStorage.setItem(KEY, place.panel);
          setChosen(markOfPlace(place));
        }}
      />
      {mark === '' ? (
        <p>
          {say(
            'This phone has no list of panels yet. Open this page once while the archive can be reached; the list is kept for times without a line.',
          )}
        </p>
      ) : (
        <Field label={say('Panel of the findings')}>
          {(ids) => (
            <select
              {...ids}
              value={mark}
              onChange={(event) => {
                localStorage.setItem(KEY, event.target.value);
                setChosen(event.target.value);
              }}
            >
              {sites.flatMap((site) =>
                site.windows.map((window) => (
                  <optgroup
                    key={`${site.siteId} ${window.mark}`}
                    label={`${site.mark}.${window.mark} ${window.title}`}
                  >
                    {window.panels.map((one) => (
                      <option key={one} value={one}>
                        {one}
                      </option>
                    ))}
                  </optgroup>
                )),
              )}
            </select>
          )}
        </Field>
      )}
      {panel !== null ? (
        <FindingPaper key={panel.mark} panel={panel} />
      ) : mark === '' ? null : isLooking ? (
        <p role="status">{rich('Looking for {mark} on this phone…', { mark })}</p>
      ) : (
        <p className="caution">
          {rich(
            '<b>This phone does not know {mark} yet.</b>Its drawing is read when it is chosen here while the archive can be reached. Photographs can be taken without it.',
            { b: (words) => <b>{words}</b>, mark },
          )}
        </p>
      )}
    </section>
  );
}
