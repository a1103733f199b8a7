import { type SubmitEvent, useState } from 'react';
import { Go } from '../../platform/Go.js';
import { rich } from '../../platform/language/rich.js';
import { say } from '../../platform/language/say.js';
import { pathOf } from '../../platform/place.js';
import { TextField } from '../../platform/TextField.js';
import { reason } from '../../platform/use-answer.js';
import { FileAct } from '../FileAct.js';
import type { KnownPanels } from '../remembered.js';
import {
  Ambiguous,
  type KnownPlace,
  markOfPlace,
  marksOnLabel,
  placeOfMark,
  placeTyped,
} from './known-place.js';
import { LiveCode } from './LiveCode.js';
import { readCodesOf } from './read-codes.js';

/** A page that is not secure is given no camera; a picture of the label needs none. */
const hasCamera = (): boolean =>
  (navigator as { mediaDevices?: Partial<MediaDevices> }).mediaDevices?.getUserMedia !== undefined;

/** The way to a panel by the label that is tied to it: held before the camera, photographed, or typed. */
export function ReadLabel({
  panels,
  disabled = false,
  isConnected,
  onPlace,
}: {
  panels: KnownPanels | null;
  disabled?: boolean;
  isConnected: boolean;
  onPlace: (place: KnownPlace) => void;
}) {
  const [isOpen, setOpen] = useState(false);
  const [isLive, setLive] = useState(false);
  const [typed, setTyped] = useState('');
  const [why, setWhy] = useState<string | null>(null);
  const [read, setRead] = useState<string | null>(null);
  const sites = panels?.sites ?? [];
  if (sites.length === 0) return null;

  const take = (place: KnownPlace) => {
    setRead(markOfPlace(place));
    setWhy(null);
    setTyped('');
    setLive(false);
    setOpen(false);
    onPlace(place);
  };
  const takeCodes = (codes: readonly string[]) => {
    const marks = codes.flatMap(marksOnLabel);
    const place = marks.map((mark) => placeOfMark(sites, mark)).find((one) => one !== undefined);
    if (place !== undefined) take(place);
    else
      setWhy(
        codes.length === 0
          ? say(
              'No code is read in this picture. Go nearer, so that the code fills a third of it, hold still, and keep glare off it.',
            )
          : say(
              '{mark} is no panel that this phone knows. Open this page once while the archive can be reached, or choose the panel below.',
              { mark: marks[0] ?? codes[0]! },
            ),
      );
  };
  const takePicture = async (file: File) => {
    setWhy(null);
    try {
      takeCodes(await readCodesOf(file));
    } catch (error) {
      setWhy(
        error instanceof DOMException
          ? say('This browser cannot read that file as a picture.')
          : reason(error),
      );
    }
  };
  const takeTyped = (event: SubmitEvent) => {
    event.preventDefault();
    try {
      const place = placeTyped(sites, typed);
      if (place !== undefined) take(place);
      else
        setWhy(
          say('{typed} is no panel that this phone knows. Marks look like {example}.', {
            typed,
            example: sites[0]!.windows[0]?.panels[0] ?? 'SLM.wI.2b',
          }),
        );
    } catch (error) {
      if (!(error instanceof Ambiguous)) throw error;
      setWhy(say('That fits {panels}. Type the window too.', { panels: error.message }));
    }
  };

  return (
    <>
      <div className="row read-label">
        <button
          type="button"
          className="quiet"
          aria-expanded={isOpen}
          disabled={disabled}
          onClick={() => {
            setOpen(!isOpen);
            setLive(false);
            setWhy(null);
          }}
        >
          {isOpen ? say('Leave the label') : say('Read a label')}
        </button>
        <p role="status" className="kept">
          {read === null || isOpen
            ? null
            : rich('{read}, as its label says. {bench}', {
                read,
                bench: isConnected ? (
                  <Go className="word" to={pathOf(read)}>
                    {say('its bench')}
                  </Go>
                ) : null,
              })}
        </p>
      </div>
      {isOpen ? (
        <section className="reader stack" aria-label={say('Read a label')}>
          {isLive ? (
            <>
              <LiveCode
                onCodes={takeCodes}
                onNone={() => {
                  setLive(false);
                  setWhy(say('This page was given no camera. Photograph the label instead.'));
                }}
              />
              <p className="hint">{say('Hold the code of the label before the camera.')}</p>
            </>
          ) : null}
          {hasCamera() && !isLive ? (
            <button
              type="button"
              onClick={() => {
                setLive(true);
                setWhy(null);
              }}
            >
              {say('Hold it before the camera')}
            </button>
          ) : null}
          <FileAct
            words={say('Photograph the label')}
            isCamera
            isQuiet
            onFiles={([file]) => {
              if (file !== undefined) void takePicture(file);
            }}
          />
          <form className="stack" onSubmit={takeTyped}>
            <TextField
              label={say('or type its mark')}
              autoComplete="off"
              autoCapitalize="off"
              spellCheck={false}
              value={typed}
              onValue={setTyped}
            />
            <button type="submit" className="quiet" disabled={typed.trim() === ''}>
              {say('Go to this panel')}
            </button>
          </form>
          {why === null ? null : (
            <p role="alert" className="refused">
              {why}
            </p>
          )}
        </section>
      ) : null}
    </>
  );
}
