import { useRef, useState } from 'react';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { ClockFace } from '../upload/ClockFace.js';
import { FileAct } from './FileAct.js';
import { JobPaper } from './JobPaper.js';
import { judgePicture } from './judge/judge-picture.js';
import { markOfPlace } from './label/known-place.js';
import { ReadLabel } from './label/ReadLabel.js';
import { keepPicture } from './queue/keep-picture.js';
import type { Job } from './queue/picture.js';
import type { RoomSaid } from './queue/send-plan.js';
import type { KnownPanels, KnownPerson } from './remembered.js';
import { type Shot, ShotPaper } from './ShotPaper.js';
import { sayJob } from './say-where.js';
import { missingOf, useJob, usualJob } from './use-job.js';

/** One task, one thumb: the job as a sentence, the camera, and what became of the last shot. */
export function CapturePaper({
  person,
  panels,
  startMark,
  room,
  isConnected,
  onBusy,
}: {
  person: KnownPerson;
  panels: KnownPanels | null;
  startMark: string | null;
  room: RoomSaid | null;
  isConnected: boolean;
  onBusy: (busy: boolean) => void;
}) {
  const [job, setJob] = useJob(person.me);
  const [choosing, setChoosing] = useState(startMark !== null);
  const [shot, setShot] = useState<Shot | null>(null);
  const paper = useRef<HTMLElement>(null);
  const [writing, setWriting] = useState(0);
  const [whys, setWhys] = useState<readonly string[]>([]);
  const missing = missingOf(job);
  const isFull = room?.state === 'full';

  const take = async (files: readonly File[], taken: Job) => {
    onBusy(true);
    setWhys([]);
    for (const [index, file] of files.entries()) {
      setWriting(files.length - index);
      try {
        const picture = await keepPicture(file, taken, person.archiveId);
        setShot({ picture, said: null });
        const said = await judgePicture(file, picture);
        setShot((before) => (before?.picture.id === picture.id ? { ...before, said } : before));
      } catch (error) {
        const why = error instanceof Error ? error.message : String(error);
        setWhys((before) => [...before, `${file.name}: ${why}`]);
      }
    }
    setWriting(0);
    onBusy(false);
    // the lamp moves between shots of a set: it is asked for again each time
    if (taken.light === 'raking') setJob({ ...taken, clockHour: null });
  };

  return (
    <section ref={paper} className="paper stack capture" aria-label={say('Take photographs')}>
      <ReadLabel
        panels={panels}
        disabled={writing > 0}
        isConnected={isConnected}
        onPlace={(place) => {
          const [{ siteId }, mark] = [place.site, markOfPlace(place)];
          setJob({ ...(job ?? usualJob(siteId, mark)), siteId, mark, clockHour: null });
          setChoosing(false);
        }}
      />
      {choosing || job === null ? (
        <JobPaper
          job={job}
          panels={panels}
          startMark={startMark}
          onJob={(next) => {
            setJob(next);
            setChoosing(false);
            paper.current?.scrollIntoView({ block: 'start' });
          }}
        />
      ) : (
        <>
          <div className="job">
            <p>
              <b>{job.mark}</b>
              <span>{sayJob(job)}</span>
            </p>
            <button
              type="button"
              className="quiet"
              onClick={() => {
                setChoosing(true);
              }}
            >
              {say('change')}
            </button>
          </div>
          {job.kind === 'photograph' && job.light === 'raking' ? (
            <ClockFace
              hour={job.clockHour}
              onHour={(clockHour) => {
                setJob({ ...job, clockHour });
              }}
            />
          ) : null}
        </>
      )}
      {shot === null ? null : (
        <ShotPaper
          shot={shot}
          onDone={() => {
            setShot(null);
          }}
        />
      )}
      {whys.length === 0 ? null : (
        <div role="alert" className="stack">
          {whys.map((why) => (
            <p key={why} className="refused">
              {why}
            </p>
          ))}
        </div>
      )}
      {room?.state === 'tell' ? (
        <p className="caution">
          {rich(
            '<b>Room for about {leftPictures} more pictures.</b>Connect to the archive so that pictures can leave this phone, or export the queue below.',
            { b: (words) => <b>{words}</b>, leftPictures: room.leftPictures },
          )}
        </p>
      ) : null}
      {isFull ? (
        <p className="caution" role="alert">
          {rich(
            '<b>This phone is full: no picture is taken in.</b>Nothing that is here is dropped. Connect to the archive, or export the queue below.',
            { b: (words) => <b>{words}</b> },
          )}
        </p>
      ) : null}
      {choosing || job === null ? null : (
        <div className="shutter">
          {missing === null ? null : <p role="status">{missing}</p>}
          <FileAct
            words={
              writing > 0 ? say('writing down {writing}…', { writing }) : say('Take a picture')
            }
            isCamera
            disabled={missing !== null || isFull || writing > 0}
            onFiles={(files) => void take(files, job)}
          />
          <FileAct
            words={say('or choose pictures')}
            disabled={missing !== null || isFull || writing > 0}
            onFiles={(files) => void take(files, job)}
          />
        </div>
      )}
    </section>
  );
}
