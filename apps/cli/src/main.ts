import type { Output } from './command.js';
import { COMMANDS } from './commands.js';
import { EXIT } from './exit-codes.js';
import { Refusal, UsageError } from './refusal.js';

const NAME_WIDTH = Math.max(...COMMANDS.map((c) => c.name.length));

const HELP = `mullion: the working archive of a stained-glass conservation studio, commands without a server

${COMMANDS.map((c) => `  mullion ${c.name.padEnd(NAME_WIDTH)} ${c.summary}`).join('\n')}

mullion COMMAND --help   shows the options and exit codes of one command
exit 70 means a fault of the program itself
`;

const output: Output = {
  say: (line) => process.stdout.write(`${line}\n`),
  note: (line) => process.stderr.write(`${line}\n`),
};

async function main(words: readonly string[]): Promise<number> {
  const listed = COMMANDS.find((c) => c.name.split(' ').every((word, i) => words[i] === word));
  if (listed === undefined) {
    const asked =
      words.length === 0 || words[0] === '--help' || words[0] === '-h' || words[0] === 'help';
    if (!asked) output.note(`There is no command "${words.join(' ')}".\n`);
    (asked ? process.stdout : process.stderr).write(HELP);
    return asked && words.length > 0 ? EXIT.ok : EXIT.usage;
  }
  const rest = words.slice(listed.name.split(' ').length);
  const command = await listed.open();
  if (rest.includes('--help') || rest.includes('-h')) {
    process.stdout.write(command.help);
    return EXIT.ok;
  }
  try {
    return await command.run(rest, output);
  } catch (cause) {
    if (!(cause instanceof Refusal)) {
      output.note(
        'This is a fault of the program, not of your files. Please report it with these lines:',
      );
      output.note(cause instanceof Error ? (cause.stack ?? cause.message) : String(cause));
      return EXIT.fault;
    }
    output.note(cause.message);
    if (cause instanceof UsageError) process.stderr.write(`\n${command.help}`);
    return cause.exitCode;
  }
}

process.exitCode = await main(process.argv.slice(2));
