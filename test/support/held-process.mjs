// Loads a program's modules and waits for the word to begin: a start then costs what the program does,
// not the reading of its code. Arguments: the module that brings the others, the program, its arguments.
const [modules, program] = process.argv.splice(2, 2);
await import(modules);
process.once('message', () => void import(program));
process.send({ kind: 'held' });
