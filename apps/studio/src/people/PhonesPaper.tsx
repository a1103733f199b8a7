import { type SubmitEvent, useState } from 'react';
import {
  addPairing,
  type DeviceRole,
  deviceRoles,
  endDevice,
  type Pairing,
  readDevices,
} from '../platform/api/devices.js';
import { type Site, siteMark } from '../platform/api/sites.js';
import { Field } from '../platform/Field.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { PairingCode } from './PairingCode.js';

/** Phones that are paired, and the code that pairs one more. */
export function PhonesPaper({
  sites,
  where,
}: {
  sites: readonly Site[];
  where: (siteId: string | null) => string;
}) {
  const devices = useAnswer('devices', readDevices);
  const [name, setName] = useState<string | null>(null);
  const [siteId, setSiteId] = useState('');
  const [role, setRole] = useState<DeviceRole>('recorder');
  const [shown, setShown] = useState<Pairing | null>(null);
  const { busy, why, run } = useAct();
  const live = (devices.value ?? []).filter(({ endedAt }) => endedAt === null);
  const named = name ?? say('phone {value}', { value: (devices.value?.length ?? 0) + 1 });
  const show = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      setShown(await addPairing({ name: named, siteId: siteId === '' ? null : siteId, role }));
    });
  };
  return (
    <section className="paper stack" aria-label={say('Phones')}>
      <h2>{say('Phones')}</h2>
      <p className="sub">
        {rich(
          'A paired phone takes photographs without a password, and keeps them until the archive has them. <go>Its page on this device</go>',
          { go: (words) => <Go to="/phone">{words}</Go> },
        )}
      </p>
      {devices.why ? <p role="alert">{devices.why}</p> : null}
      <ul className="lines" aria-label={say('Paired phones')}>
        {live.map((device) => (
          <li key={device.deviceId}>
            <span>
              {device.name}
              <small className="quiet-line">
                {rich('{role} {siteId}, since {value}', {
                  role: device.role,
                  siteId: where(device.siteId),
                  value: device.pairedAt.slice(0, 10),
                })}
              </small>
            </span>
            <button
              type="button"
              className="word"
              aria-label={say('end {name}', { name: device.name })}
              onClick={() => {
                void run(async () => {
                  await endDevice(device.deviceId);
                  devices.again();
                });
              }}
            >
              {say('end this')}
            </button>
          </li>
        ))}
      </ul>
      <form className="stack" onSubmit={show}>
        <div className="two">
          <TextField
            label={say('Name of the phone')}
            hint={say('no person’s name: it stays in the history')}
            required
            maxLength={200}
            value={named}
            onValue={setName}
          />
          <Field label={say('For')}>
            {(ids) => (
              <select
                {...ids}
                value={siteId}
                onChange={(event) => {
                  setSiteId(event.target.value);
                }}
              >
                <option value="">{say('every site of yours')}</option>
                {sites.map((site) => (
                  <option key={site.siteId} value={site.siteId}>
                    {siteMark(site)} {site.name}
                  </option>
                ))}
              </select>
            )}
          </Field>
        </div>
        <OneOf legend={say('At most as')} options={deviceRoles} value={role} onValue={setRole} />
        <Refusal why={why} />
        <div className="row">
          <button type="submit" disabled={busy}>
            {say('Show the code')}
          </button>
        </div>
      </form>
      {shown === null ? null : (
        <PairingCode
          key={shown.pairingId}
          pairing={shown}
          what={`${named}: ${role} ${where(siteId === '' ? null : siteId)}`}
          onPaired={() => {
            setShown(null);
            setName(null);
            devices.again();
          }}
          onOver={() => {
            setShown(null);
          }}
        />
      )}
    </section>
  );
}
