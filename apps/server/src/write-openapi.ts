import { mkdir, writeFile } from 'node:fs/promises';
import 'reflect-metadata';
// Loading the modules registers every route; nothing is started.
import './app.module.js';
import { openApiDocument } from './platform/openapi.js';

const [outDir] = process.argv.slice(2);
if (outDir === undefined) throw new Error('usage: write-openapi <folder>');
await mkdir(outDir, { recursive: true });
await writeFile(`${outDir}/openapi.json`, `${JSON.stringify(openApiDocument(), null, 1)}\n`);
