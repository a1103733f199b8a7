import type { AddressInfo } from 'node:net';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import type { MullionConfig } from '#libs/archive';
import { AppModule } from './app.module.js';
import { buildApp } from './build-app.js';

export interface RunningServer {
  readonly app: NestFastifyApplication;
  /** as the studio is opened, without a slash at the end */
  readonly url: string;
  close(): Promise<void>;
}

export async function startServer(config: MullionConfig): Promise<RunningServer> {
  const app = await buildApp(AppModule.with(config), {
    studioDir: config.studioDir,
    isSecure: config.hasSecureCookies,
  });
  await app.listen({ port: config.port, host: config.host });
  const { port } = app.getHttpServer().address() as AddressInfo;
  return {
    app,
    url: config.publicUrl ?? `http://${config.host}:${port}`,
    close: () => app.close(),
  };
}
