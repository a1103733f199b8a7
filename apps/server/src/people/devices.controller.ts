import { Controller, Inject } from '@nestjs/common';
import { Archive, type DEVICE_ROLES, endDevice, type MullionConfig, uuidV7 } from '#libs/archive';
import { Db } from '#libs/db';
import { Problem } from '#libs/problem';
import { LanDoor } from '../lan/lan-door.js';
import { needOwnSignIn, needRole, roleOf } from '../platform/actor.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import { digestOfSecret, newSecret } from '../platform/sessions.js';
import { CONFIG } from '../platform/tokens.js';
import * as routes from './devices.routes.js';

/** Long enough to fetch the phone from the next room. */
const PAIRING_MS = 5 * 60_000;

@Controller()
export class DevicesController {
  constructor(
    @Inject(CONFIG) private readonly config: MullionConfig,
    private readonly archive: Archive,
    private readonly db: Db,
    private readonly lan: LanDoor,
  ) {}

  @Route(routes.listDevices)
  async listDevices(@Asked() { actor }: AskedFor<typeof routes.listDevices>) {
    const isKeeper = roleOf(actor, null) === 'keeper';
    const rows = await this.db.device.findMany({
      where: isKeeper ? {} : { personId: actor.personId },
      orderBy: { pairedAt: 'desc' },
      take: 500,
    });
    const items = rows.map(({ deviceId, personId, name, siteId, role, pairedAt, endedAt }) => ({
      deviceId,
      personId,
      name,
      siteId,
      role: role as (typeof DEVICE_ROLES)[number],
      pairedAt: pairedAt.toISOString(),
      endedAt: endedAt?.toISOString() ?? null,
    }));
    return { items, next: null };
  }

  @Route(routes.addPairing)
  async addPairing(@Asked() { actor, body }: AskedFor<typeof routes.addPairing>) {
    needOwnSignIn(actor);
    if (actor.via === 'token') {
      throw new Problem('role-insufficient', 'A token pairs no phone. Sign in and do it there.');
    }
    if (body.siteId !== null) needRole(actor, body.siteId, 'reader');
    const secret = newSecret();
    const createdAt = new Date();
    const row = await this.db.pairing.create({
      data: {
        secretDigest: digestOfSecret(secret),
        pairingId: uuidV7(createdAt.getTime()),
        personId: actor.personId,
        name: body.name,
        siteId: body.siteId,
        role: body.role,
        createdAt,
        expiresAt: new Date(createdAt.getTime() + PAIRING_MS),
      },
    });
    await this.db.pairing.deleteMany({
      where: { expiresAt: { lt: new Date(createdAt.getTime() - 24 * 60 * 60_000) } },
    });
    return {
      pairingId: row.pairingId,
      secret,
      expiresAt: row.expiresAt.toISOString(),
      phones: this.#phones(),
    };
  }

  @Route(routes.readPairing)
  async readPairing(@Asked() { actor, params }: AskedFor<typeof routes.readPairing>) {
    const row = await this.db.pairing.findFirst({
      where: { pairingId: params.pairingId, personId: actor.personId },
    });
    if (row === null) {
      throw new Problem('device-unknown', 'You made no such code. Make a new one.');
    }
    const { pairingId, deviceId, expiresAt } = row;
    return { pairingId, deviceId, expiresAt: expiresAt.toISOString() };
  }

  @Route(routes.endDeviceRoute)
  endDevice(@Asked() asked: AskedFor<typeof routes.endDeviceRoute>) {
    needOwnSignIn(asked.actor);
    return run(this.archive, endDevice, asked.params, asked);
  }

  #phones() {
    const { publicUrl } = this.config;
    if (publicUrl?.startsWith('https://'))
      return { origin: publicUrl.replace(/\/$/, ''), trustPage: null, authorityFingerprint: null };
    return this.lan.phones;
  }
}
