import { Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import { checkCommand } from './check';
import { InputError, UsageError } from './input';
import { type Done, type JudgeFlags, judgeCommand } from './judge';
import { type PlanFlags, planCommand } from './plan';
import { serve } from './serve';

const number = (text: string): number => {
  const value = Number(text);
  if (text.trim() === '' || !Number.isFinite(value))
    throw new InvalidArgumentError('It must be a number.');
  return value;
};

const seedNumber = (text: string): number => {
  const value = number(text);
  if (!Number.isInteger(value) || value < 0)
    throw new InvalidArgumentError('It must be a whole number from 0 up.');
  return value;
};

const numbers = (text: string): number[] => text.split(',').map((part) => number(part.trim()));

/** Waits until both streams are written, so that a pipe never loses the end of a long document. */
async function finish({ out, err, status }: Done): Promise<void> {
  const write = (stream: NodeJS.WriteStream, text: string): Promise<void> =>
    new Promise((resolve) => void stream.write(text, () => resolve()));
  await write(process.stderr, err);
  await write(process.stdout, out);
  process.exitCode = status;
}

function withColumns(command: Command): Command {
  return command
    .option('--treatment <column>', 'what was done to the plot')
    .option('--block <column>', 'block of the plot')
    .option('--row <column>', 'row of a Latin square (with --column)')
    .option('--column <column>', 'column of a Latin square (with --row)')
    .option('--whole-plot <column>', 'whole plot of a split plot')
    .option('--plot <column>', 'plot; without it, treatment and block (or row and column) name it')
    .option('--plant <column>', 'plant in the plot')
    .option('--date <column>', 'date (or day number) of the round')
    .option('--diseased <column>', 'diseased leaves (with --leaves)')
    .option('--leaves <column>', 'leaves looked at (with --diseased)')
    .option('--severity <column>', 'percent of the leaf area diseased')
    .option('--grade <column>', 'grade, an ordered class (with --grades)')
    .option('--grades <list>', 'the classes in order, healthy first, such as 0,1,2,3', numbers)
    .option(
      '--healthy-grade <n>',
      'the class that means healthy, if not the first of --grades',
      number,
    )
    .option('--value <column>', 'any other number')
    .addOption(new Option('--better <which>', 'which value is better').choices(['lower', 'higher']))
    .option('--baseline-value <column>', 'the same number before any treatment, to adjust for')
    .option('--stripped <column>', 'leaves stripped after scoring')
    .option('--lost <column>', 'leaves lost to anything else since the round before')
    .option('--days <column>', 'days to an event (with --happened)')
    .option('--happened <column>', '1 if the event happened, 0 if not yet')
    .option('--heading-date <column>', 'date of heading, blank if not yet')
    .addOption(new Option('--date-order <order>', 'order of day and month').choices(['dmy', 'mdy']))
    .addOption(new Option('--decimal <mark>', 'decimal mark').choices(['comma', 'point']))
    .option('--control <name>', 'treatment that others are compared with')
    .option('--json', 'print one JSON document');
}

const program = new Command('fairbed')
  .description('Plan and judge side-by-side treatment trials against leaf disease, honestly.')
  .exitOverride()
  .showHelpAfterError('Run with --help to see every flag.');

withColumns(
  program
    .command('judge')
    .description('which treatment worked, by how much, how sure')
    .argument('[file]', 'scores (CSV, XLSX), a data package (zip) or a trial document (json)'),
)
  .option('--outcome <id>', 'outcome to judge by, such as audpc-incidence (docs/measures.md)')
  .option('--baseline <id>', 'first-round outcome to adjust for, such as incidence-first')
  .addOption(
    new Option('--method <how>', 'what to judge by; by the rule when left out').choices([
      'plots',
      'leaves',
      'grades',
      'weeks',
      'days',
    ]),
  )
  .addOption(
    new Option('--scale <name>', 'scale to compare plots on; by the rule when left out').choices([
      'as-scored',
      'square-root',
      'logarithm',
      'log-odds',
    ]),
  )
  .option(
    '--earlier <files...>',
    'earlier trials of the same grower, to hold this one’s plots against',
  )
  .option('--look <round>', 'judge as if only the rounds up to this one had been held')
  .addOption(
    new Option('--places <how>', 'how each treatment got its place').choices(['by-lot', 'chosen']),
  )
  .option('--blind', 'the scorer did not know the treatments')
  .option('--seed <n>', 'seed where layouts are drawn, not all tried', seedNumber)
  .option(
    '--worth-having <percent>',
    'smallest difference worth having, percent less than the control',
    number,
  )
  .option('--accept-set-aside', 'exit 0 although rows were set aside')
  .option('--picture <file>', 'write the main outcome as a picture (SVG)')
  .option('--demo', 'judge the invented demo trial')
  .action((file: string | undefined, flags: JudgeFlags) => finish(judgeCommand(file, flags)));

withColumns(
  program
    .command('check')
    .description('every fault and question in a scores file or data package')
    .argument('<file>', 'scores (CSV, XLSX), a data package (zip) or a trial document (json)'),
).action((file: string, flags: JudgeFlags) => finish(checkCommand(file, flags)));

program
  .command('plan')
  .description('draw a fair layout by lot, and say what it can show')
  .option('--treatments <list>', 'the treatments, comma between, the control among them')
  .option('--control <name>', 'treatment that others are compared with')
  .option('--blocks <n>', 'blocks; plots of each treatment where nothing is blocked', number)
  .addOption(
    new Option('--design <kind>', 'how places are drawn')
      .choices([
        'randomised-blocks',
        'completely-randomised',
        'latin-square',
        'split-plot',
        'incomplete-blocks',
      ])
      .default('randomised-blocks'),
  )
  .option('--control-plots <n>', 'plots of the control in each block', number)
  .option('--replicates <list>', 'completely randomised: plots of each treatment', numbers)
  .option('--per-block <n>', 'incomplete blocks: plots a block holds', number)
  .option(
    '--practice <name=list>',
    'split plot, once for each: a practice and its treatments, such as wide=A,B',
    (text: string, before: readonly string[] | undefined) => [...(before ?? []), text],
  )
  .option('--plants <n>', 'plants scored in a plot', number, 5)
  .option('--rounds <n>', 'rounds of scoring', number)
  .option('--difference <percent>', 'smallest difference worth having', number)
  .addOption(
    new Option('--measure <what>', 'what is scored, for the chance to show the difference')
      .choices(['leaves', 'severity', 'grades', 'value'])
      .default('leaves'),
  )
  .option('--expect <n>', 'percent disease (or mean value) expected in the control', number)
  .option('--leaves <n>', 'leaves counted on a plant (with --measure grades: the grades)', number)
  .addOption(
    new Option('--ground <kind>', 'how unlike plots are by themselves').choices([
      'even',
      'usual',
      'patchy',
    ]),
  )
  .option('--spread <list>', 'in place of --ground: SD of blocks, plots and plants', numbers)
  .option('--outcome <id>', 'outcome to be judged by, such as audpc-incidence')
  .option('--simulations <n>', 'trials simulated, usually 1000; 0 for none', number)
  .option('--seed <n>', 'seed of the draw; by lot without it', seedNumber)
  .option('--json', 'print one JSON document')
  .action((flags: PlanFlags) =>
    finish(planCommand(flags, (text) => void process.stderr.write(text))),
  );

program
  .command('serve')
  .description('serve the app on this machine only')
  .option('--port <n>', 'first port to try', number, 4173)
  .action(async ({ port }: { port: number }) => {
    const at = await serve(port);
    process.stdout.write(`Fairbed is at http://localhost:${at}/ (Ctrl-C stops it).\n`);
  });

/** 1: the input is at fault; 2: the command line is; 3: we are. */
function statusOf(error: unknown): number {
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
  const text = error instanceof Error ? error.message : String(error);
  if (error instanceof InputError || error instanceof UsageError) {
    process.stderr.write(`${text}\n`);
    return error instanceof InputError ? 1 : 2;
  }
  process.stderr.write(
    `This is a fault of Fairbed, not of your file: ${text}\nPlease report it with the command and, if you may, the file.\n`,
  );
  if (process.env['FAIRBED_TRACE'] !== undefined && error instanceof Error)
    process.stderr.write(`${error.stack ?? ''}\n`);
  return 3;
}

try {
  await program.parseAsync();
} catch (error) {
  process.exitCode = statusOf(error);
}
