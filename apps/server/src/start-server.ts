import type { AddressInfo } from 'node:net';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import type { MullionConfig } from '#libs/archive';
import { AppModule } from './app.module.js';
import { buildApp } from './build-app.js';
import { LanDoor, type PhonesPlace } from './lan/lan-door.js';
import { refusePlainHttp } from './lan/plain-http.js';

export interface RunningServer {
  readonly app: NestFastifyApplication;
  /** as the studio is opened, without a slash at the end */
  readonly url: string;
  /** where phones reach it; null where they do not */
  readonly phones: PhonesPlace | null;
  close(): Promise<void>;
}

export async function startServer(config: MullionConfig): Promise<RunningServer> {
  refusePlainHttp(config);
  const app = await buildApp(AppModule.with(config), {
    studioDir: config.studioDir,
    isSecure: config.hasSecureCookies,
    config,
  });
  await app.listen({ port: config.port, host: config.host });
  const { port } = app.getHttpServer().address() as AddressInfo;
  const door = app.get(LanDoor);
  await door.open();
  return {
    app,
    phones: door.phones,
    url: config.publicUrl ?? `http://${config.host}:${port}`,
    close: () => app.close(),
  };
}
