import { useState } from 'react';
import { useInstallOffer } from '../offline/install.js';
import { useShell } from '../offline/shell.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { sayBytes, sayRatio } from '../platform/say-number.js';
import { isOnlyHere, type NotedFinding } from './findings/noted.js';
import { removeCopy } from './queue/device-room.js';
import { readLists } from './queue/kept-lists.js';
import { notInArchive } from './queue/not-in-archive.js';
import { type Counts, exportQueue, importQueue } from './queue/queue-file.js';
import { sayKeeping } from './say-where.js';
import { type Queue, useKeeping } from './use-queue.js';

/** How safe pictures lie on this device, and the ways out if all else fails. */
export function KeepingPaper({
  queue,
  notes,
  archiveId,
}: {
  queue: Queue;
  notes: readonly NotedFinding[];
  archiveId: string | null;
}) {
  const keeping = useKeeping();
  const shell = useShell();
  const install = useInstallOffer();
  const [progress, setProgress] = useState<string | null>(null);
  const [said, setSaid] = useState<readonly string[]>([]);
  const pictures = queue.pictures ?? [];
  const waiting =
    pictures.filter(notInArchive).length +
    notes.filter(isOnlyHere).length +
    readLists(localStorage).length;
  const copies = pictures.filter(({ state, hasBytes }) => state === 'proven' && hasBytes);
  const words = keeping === null ? null : sayKeeping(keeping);

  const run = async (act: () => Promise<readonly string[]>) => {
    setSaid([]);
    try {
      setSaid(await act());
    } catch (error) {
      setSaid([error instanceof Error ? error.message : String(error)]);
    }
    setProgress(null);
  };
  const onRatio = (ratio: number) => {
    setProgress(sayRatio(ratio));
  };
  const save = () =>
    run(async () => {
      const { file, counts } = await exportQueue(archiveId ?? '', onRatio);
      const link = document.createElement('a');
      link.href = URL.createObjectURL(file);
      link.download = file.name;
      link.click();
      setTimeout(() => {
        URL.revokeObjectURL(link.href);
      }, 60_000);
      return [
        say('{name}, {size}: {what}. All of it stays here as well.', {
          name: file.name,
          size: sayBytes(file.size),
          what: sayCounts(counts),
        }),
      ];
    });
  const take = (file: File) =>
    run(async () => {
      const { added, known, failed } = await importQueue(file, archiveId ?? '', onRatio);
      return [
        say('{what} taken up.', { what: sayCounts(added) }),
        ...(countOf(known) === 0 ? [] : [say('Here already: {what}.', { what: sayCounts(known) })]),
        ...(added.findings === 0
          ? []
          : [say('Findings that are sent from here stand under your name in the archive.')]),
        ...failed,
      ];
    });

  return (
    <section className="paper stack" aria-label={say('How safe it is here')}>
      <h2>{words?.isSafe ? say('Safe here') : say('How safe it is here')}</h2>
      {words?.isSafe ? (
        <p className="kept">
          {say(
            'Installed, and the browser promised to keep this storage. Pictures stay until the archive proved that it has them.',
          )}
        </p>
      ) : (
        <ul className="stack">
          {words?.missing.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      <p className="hint">
        {shell.is === 'kept'
          ? say('This page opens without a line.')
          : shell.is === 'coming'
            ? say('This page is being kept for starts without a line…')
            : say('This page does not open without a line.')}
        {queue.room === null
          ? null
          : say(' About {leftBytes} are free for pictures.', {
              leftBytes: sayBytes(queue.room.leftBytes),
            })}
      </p>
      <div className="row">
        {install === null || keeping?.isInstalled === true ? null : (
          <button type="button" onClick={install}>
            {say('Install on this phone')}
          </button>
        )}
      </div>
      {keeping === null || keeping.isInstalled || install !== null ? null : (
        <p className="hint">
          {say(
            'On an iPhone: share, then “Add to Home Screen”. On Android: the browser’s menu, then “Install app” or “Add to Home screen”.',
          )}
        </p>
      )}
      {copies.length === 0 ? null : (
        <p className="hint">
          {say(
            '{copies, plural, one {# copy} other {# copies}} of pictures that are in the archive stay here until their space is wanted. ',
            { copies: copies.length },
          )}
          <button
            type="button"
            className="word"
            onClick={() => {
              void run(async () => {
                for (const { id } of copies) await removeCopy(id);
                return [];
              });
            }}
          >
            {say('Remove them now')}
          </button>
        </p>
      )}
      <div className="row">
        <button
          type="button"
          className="quiet"
          disabled={waiting === 0 || archiveId === null || progress !== null}
          onClick={() => void save()}
        >
          {say('Export what lies only here')}
        </button>
        <label className="act quiet" data-disabled={archiveId === null || progress !== null}>
          {rich('Take up an export{input}', {
            input: (
              <input
                type="file"
                accept=".zip,application/zip"
                disabled={archiveId === null || progress !== null}
                onChange={(event) => {
                  const file = event.target.files?.[0];
                  event.target.value = '';
                  if (file) void take(file);
                }}
              />
            ),
          })}
        </label>
      </div>
      <div role="status">
        {progress}
        {said.map((line) => (
          <p key={line}>{line}</p>
        ))}
      </div>
    </section>
  );
}

const countOf = ({ pictures, findings, lists }: Counts): number => pictures + findings + lists;

/** '4 pictures, 2 findings'; a kind of which there is none is not named. */
function sayCounts({ pictures, findings, lists }: Counts): string {
  const parts = [
    pictures > 0 && say('{pictures, plural, one {# picture} other {# pictures}}', { pictures }),
    findings > 0 && say('{findings, plural, one {# finding} other {# findings}}', { findings }),
    lists > 0 && say('{lists, plural, one {# list} other {# lists}}', { lists }),
  ].filter((part) => part !== false);
  return parts.length === 0 ? say('nothing') : parts.join(', ');
}
