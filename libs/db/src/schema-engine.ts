/**
 * Prisma's schema engine as WebAssembly: turns schema.prisma into SQL without the native engine,
 * whose download may be impossible. Migrations are not applied with it: it hands scripts to the
 * adapter, which splits them at every semicolon and so breaks functions and comments.
 */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { PrismaPg } from '@prisma/adapter-pg';
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils';

/** What is used of the engine (its package ships no type that names these). */
interface EngineModule {
  __wbg_set_wasm(exports: unknown): void;
  SchemaEngine: {
    new: (
      input: { datamodels: [string, string][] },
      log: () => void,
      adapter: unknown,
    ) => Promise<{ diff(input: unknown): Promise<{ stdout: string }> }>;
  };
}

/** WebAssembly as Node has it; TypeScript names it only together with the DOM. */
interface WasmHost {
  compile(bytes: Uint8Array): Promise<object>;
  instantiate(module: object, imports: object): Promise<{ exports: Record<string, unknown> }>;
}

/** SQL that takes an empty database to the schema. The database is only asked for its dialect. */
export async function draftSql(databaseUrl: string, schemaPath: string): Promise<string> {
  const content = await readFile(schemaPath, 'utf8');
  const { SchemaEngine } = await load();
  const engine = await SchemaEngine.new(
    { datamodels: [[schemaPath, content]] },
    () => undefined,
    bindMigrationAwareSqlAdapterFactory(new PrismaPg({ connectionString: databaseUrl })),
  );
  const { stdout } = await engine.diff({
    from: { tag: 'empty' },
    to: { tag: 'schemaDatamodel', files: [{ path: schemaPath, content }] },
    script: true,
    exitCode: null,
    shadowDatabaseUrl: null,
    filters: { externalTables: [], externalEnums: [] },
  });
  return stdout;
}

// One instance a process: a second one would break the first.
let loaded: Promise<EngineModule> | undefined;

function load(): Promise<EngineModule> {
  return (loaded ??= instantiate());
}

async function instantiate(): Promise<EngineModule> {
  const panics = globalThis as { PRISMA_WASM_PANIC_REGISTRY?: unknown };
  panics.PRISMA_WASM_PANIC_REGISTRY ??= {
    set_message(message: string) {
      throw new Error(message);
    },
  };
  const folder = dirname(createRequire(import.meta.url).resolve('@prisma/schema-engine-wasm'));
  const door = pathToFileURL(join(folder, 'schema_engine_bg.js')).href;
  const module = (await import(door)) as EngineModule;
  const { WebAssembly } = globalThis as unknown as { WebAssembly: WasmHost };
  const wasm = await WebAssembly.compile(await readFile(join(folder, 'schema_engine_bg.wasm')));
  const instance = await WebAssembly.instantiate(wasm, { './schema_engine_bg.js': module });
  module.__wbg_set_wasm(instance.exports);
  (instance.exports['__wbindgen_start'] as () => void)();
  return module;
}
