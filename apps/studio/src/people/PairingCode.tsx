import { useEffect, useState } from 'react';
import { type Pairing, readPairing } from '../platform/api/devices.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { QrCode } from '../platform/QrCode.js';

const LOOK_MS = 1_000;

/** The code on the desk: the phone that opens it is signed in, once, within minutes. */
export function PairingCode({
  pairing,
  what,
  onPaired,
  onOver,
}: {
  pairing: Pairing;
  /** name, role and site, as they will stand in the history */
  what: string;
  onPaired: () => void;
  onOver: () => void;
}) {
  const { pairingId, secret, expiresAt, phones } = pairing;
  const [leftS, setLeftS] = useState(() => secondsUntil(expiresAt));
  useEffect(() => {
    const leaving = new AbortController();
    const timer = setInterval(() => {
      const left = secondsUntil(expiresAt);
      setLeftS(left);
      if (left === 0) onOver();
      readPairing(pairingId, leaving.signal).then(
        ({ deviceId }) => {
          if (deviceId !== null && !leaving.signal.aborted) onPaired();
        },
        () => undefined, // asked again in a second
      );
    }, LOOK_MS);
    return () => {
      leaving.abort();
      clearInterval(timer);
    };
  }, [pairingId, expiresAt, onPaired, onOver]);

  const isHere = phones === null;
  const origin = phones?.origin ?? window.location.origin;
  const address = `${origin}/phone#pair=${secret}`;
  return (
    <div className="stack" role="group" aria-label={say('Code for a phone')}>
      {isHere ? (
        <p className="caution">
          {rich(
            '<b>Phones cannot reach this archive yet.</b>It answers on this machine only. Stop it and start with {code}; the code below works in a browser on this machine.',
            { b: (words) => <b>{words}</b>, code: <code>npm start -- --lan</code> },
          )}
        </p>
      ) : null}
      {phones?.trustPage ? (
        <details>
          <summary>
            {say('First time with this phone? It must trust the workshop’s certificate.')}
          </summary>
          <div className="stack">
            <p>
              {say(
                'Point the camera at this code and follow the page. Compare this, letter by letter, with what the phone shows:',
              )}
            </p>
            <output className="print">{phones.authorityFingerprint}</output>
            <QrCode text={phones.trustPage} label={say('Code that leads to the trust page')} />
          </div>
        </details>
      ) : null}
      <p>
        {rich('Point the phone’s camera at this code. It signs in {b}, once, within ', {
          b: <b>{what}</b>,
        })}
        <span role="timer">
          {Math.floor(leftS / 60)}:{String(leftS % 60).padStart(2, '0')}
        </span>
        .
      </p>
      <QrCode text={address} label={say('Code that pairs one phone')} />
    </div>
  );
}

const secondsUntil = (at: string): number =>
  Math.max(0, Math.round((Date.parse(at) - Date.now()) / 1000));
