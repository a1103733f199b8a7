import { mkdir, writeFile } from 'node:fs/promises';
import { AppModule } from './app.module.js';
import { buildApp, openApiOf } from './build-app.js';

const [outDir] = process.argv.slice(2);
if (outDir === undefined) throw new Error('usage: write-openapi <folder>');

const app = await buildApp(AppModule);
await mkdir(outDir, { recursive: true });
await writeFile(`${outDir}/openapi.json`, `${JSON.stringify(openApiOf(app), null, 2)}\n`);
await app.close();
