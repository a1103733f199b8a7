import { useState } from 'react';
import { type PastRow, readPastTable, type PastWork as Work } from '#libs/question';
import { operation } from '#libs/vocabulary';
import { recordIntervention } from '../platform/api/interventions.js';
import { resolveMark, type Site, siteMark } from '../platform/api/sites.js';
import { Field } from '../platform/Field.js';
import { Go } from '../platform/Go.js';
import { say, sayWord } from '../platform/language/say.js';
import { TextField } from '../platform/TextField.js';
import { reason } from '../platform/use-answer.js';
import { rowKey } from './row-key.js';

const SOURCES: readonly (readonly [string, string])[] = [
  ['report', say('a report')],
  ['invoice', say('an invoice')],
  ['inscription', say('an inscription on lead or glass')],
  ['oral', say('told by somebody')],
  ['other', say('another source')],
];

type Fate = { readonly done: true } | { readonly why: string };

/** Past work out of papers: a table is pasted, looked at, and each row becomes an act with its source. */
export function PastWork({ sites }: { sites: readonly Site[] }) {
  const [siteId, setSiteId] = useState('');
  const [source, setSource] = useState('report');
  const [paper, setPaper] = useState('');
  const [text, setText] = useState('');
  const [fates, setFates] = useState<ReadonlyMap<string, Fate>>(new Map());
  const [busy, setBusy] = useState(false);
  const site = sites.find((one) => one.siteId === siteId) ?? sites[0];
  const rows = readPastTable(text);
  const good = rows.filter((row) => row.work !== null);
  const keyOf = (row: PastRow) => rowKey([site?.siteId, source, paper, row.cells]);
  const left = good.filter((row) => !isDone(fates.get(keyOf(row))));
  const record = async () => {
    setBusy(true);
    for (const row of left) {
      const key = keyOf(row);
      let fate: Fate;
      try {
        await recordOne(site!, row.work!, { source, paper, key });
        fate = { done: true };
      } catch (error) {
        fate = { why: reason(error) };
      }
      setFates((before) => new Map(before).set(key, fate));
    }
    setBusy(false);
  };
  return (
    <section className="paper wide stack">
      <h1>{say('Past work from papers')}</h1>
      <p>
        {say(
          'Copy the rows out of a spreadsheet: where, what, when, material, who, role, note, source. A first row with these names may stand in any order.',
        )}
      </p>
      <div className="two">
        <Field label={say('Site')}>
          {(ids) => (
            <select
              {...ids}
              value={site?.siteId ?? ''}
              onChange={(event) => {
                setSiteId(event.target.value);
              }}
            >
              {sites.map((one) => (
                <option key={one.siteId} value={one.siteId}>
                  {siteMark(one)}
                </option>
              ))}
            </select>
          )}
        </Field>
        <Field label={say('Known from')}>
          {(ids) => (
            <select
              {...ids}
              value={source}
              onChange={(event) => {
                setSource(event.target.value);
              }}
            >
              {SOURCES.map(([name, words]) => (
                <option key={name} value={name}>
                  {words}
                </option>
              ))}
            </select>
          )}
        </Field>
      </div>
      <TextField
        label={say('Which paper')}
        hint={say('Shelf mark, date and place of the paper, or who told it.')}
        value={paper}
        onValue={setPaper}
      />
      <TextField
        label={say('Rows')}
        hint={say(
          'When: 1998, c. 1925, 1870-1890, before 1900, 1920s, or EDTF (1931~ about, 1931? doubtful, 192X). Earlier numbers are found as marks.',
        )}
        rows={8}
        spellCheck={false}
        value={text}
        onValue={setText}
      />
      {rows.length > 0 ? (
        <div
          className="past-scroll"
          tabIndex={0}
          role="region"
          aria-label={say('Rows as they were read')}
        >
          <table className="past-table">
            <thead>
              <tr>
                <th scope="col">{say('Line')}</th>
                <th scope="col">{say('Where')}</th>
                <th scope="col">{say('What')}</th>
                <th scope="col">{say('When')}</th>
              </tr>
            </thead>
            {rows.map((row) => (
              <tbody key={row.line}>
                <tr>
                  <td>{row.line}</td>
                  <td>{row.cells.where}</td>
                  <td>
                    {row.work ? sayWord(operation(row.work.operation)!.label) : row.cells.what}
                  </td>
                  <td>{row.work?.happened ?? row.cells.when}</td>
                </tr>
                <tr>
                  <td />
                  <td colSpan={3} className={standClass(row, fates.get(keyOf(row)))}>
                    {sayStand(row, fates.get(keyOf(row)))}
                  </td>
                </tr>
              </tbody>
            ))}
          </table>
        </div>
      ) : null}
      <p className="row">
        <button
          type="button"
          disabled={busy || left.length === 0 || site === undefined}
          onClick={() => {
            void record();
          }}
        >
          {say('{count, plural, one {Record # row} other {Record # rows}}', { count: left.length })}
        </button>
        <Go className="word" to="/search">
          {say('Back to the search')}
        </Go>
      </p>
      <p className="hint">
        {say(
          'A row that is recorded already is not recorded twice, however often it is pasted today.',
        )}
      </p>
    </section>
  );
}

const isDone = (fate: Fate | undefined) => fate !== undefined && 'done' in fate;

function standClass(row: PastRow, fate: Fate | undefined): string {
  if (isDone(fate)) return 'stand is-done';
  return fate !== undefined || row.work === null ? 'stand is-wrong' : 'stand';
}

function sayStand(row: PastRow, fate: Fate | undefined): string {
  if (fate !== undefined) return 'done' in fate ? say('recorded') : fate.why;
  if (row.work !== null) return say('ready');
  return row.faults
    .map((fault) => {
      switch (fault.kind) {
        case 'where-missing':
          return say('Where is missing: a mark such as wI.2b.');
        case 'what-missing':
          return say('What was done is missing.');
        case 'when-missing':
          return say('When is missing: c. 1925 or 18XX will do.');
        case 'date-unread':
          return say('“{said}” is read as no date. Write c. 1925, before 1900 or 18XX.', {
            said: fault.said,
          });
        case 'operation-unknown':
          return say('“{said}” is no work that the vocabulary knows.', { said: fault.said });
        case 'operation-open':
          return say('“{said}” may be: {list}. Write one of them.', {
            said: fault.said,
            list: fault.among.map((key) => operation(key)?.label ?? key).join('; '),
          });
      }
    })
    .join(' ');
}

/** Earlier numbers become the marks of today; the archive checks all of it. */
async function recordOne(
  site: Site,
  work: Work,
  { source, paper, key }: { source: string; paper: string; key: string },
): Promise<void> {
  const { where, who, role, source: own, ...said } = work;
  const subjects: string[] = [];
  for (const text of where) subjects.push(await markOf(site, text));
  const evidence = [SOURCES.find(([name]) => name === source)![1], paper, own].filter(Boolean);
  await recordIntervention(
    site.siteId,
    {
      subjects,
      ...said,
      ...(who === undefined ? {} : { byText: who }),
      ...(role === undefined ? {} : { byRole: role }),
      evidence: evidence.join(': '),
    },
    key,
  );
}

async function markOf(site: Site, text: string): Promise<string> {
  const full = text.startsWith(`${siteMark(site)}.`) ? text : `${siteMark(site)}.${text}`;
  const { signal } = new AbortController();
  try {
    return (await resolveMark(full, signal)).fullMark;
  } catch {
    // no mark of today: an earlier number, or the archive says what it is not
    return (await resolveMark(text, signal)).fullMark;
  }
}
