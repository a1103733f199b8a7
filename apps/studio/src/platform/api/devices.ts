import { client, taken } from './request.js';

export const deviceRoles = ['reader', 'recorder', 'conservator'] as const;
export type DeviceRole = (typeof deviceRoles)[number];

/** A phone that was paired. */
export interface Device {
  readonly deviceId: string;
  readonly personId: string;
  readonly name: string;
  readonly siteId: string | null;
  readonly role: DeviceRole;
  readonly pairedAt: string;
  readonly endedAt: string | null;
}

/** A code for one phone; `secret` is told once. */
export interface Pairing {
  readonly pairingId: string;
  readonly secret: string;
  readonly expiresAt: string;
  /** null: the archive answers on its own machine only */
  readonly phones: {
    readonly origin: string;
    readonly trustPage: string | null;
    readonly authorityFingerprint: string | null;
  } | null;
}

export const readDevices = async (signal: AbortSignal): Promise<readonly Device[]> =>
  (await taken(client.GET('/v1/devices', { signal }))).items;

export const addPairing = (body: {
  name: string;
  siteId: string | null;
  role: DeviceRole;
}): Promise<Pairing> => taken(client.POST('/v1/pairings', { body }));

export const readPairing = (
  pairingId: string,
  signal: AbortSignal,
): Promise<{ readonly deviceId: string | null }> =>
  taken(client.GET('/v1/pairings/{pairingId}', { params: { path: { pairingId } }, signal }));

export const endDevice = (deviceId: string): Promise<unknown> =>
  taken(client.POST('/v1/devices/{deviceId}/end', { params: { path: { deviceId } } }));
