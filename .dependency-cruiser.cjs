// The arrows of the house, inward only; anything not listed is forbidden (docs/architecture.md).
const arrows = {
  field: [],
  stats: [],
  notebook: ['field'],
  trial: ['field', 'stats'],
  files: ['field', 'trial'],
  verdict: ['field', 'stats', 'trial'],
  report: ['field', 'trial', 'verdict', 'files'],
};
const rooms = Object.keys(arrows);
const inRoom = (names) => `^packages/(${names.join('|')})/`;

module.exports = {
  forbidden: [
    { name: 'no-circular', severity: 'error', from: {}, to: { circular: true } },
    ...rooms.map((room) => ({
      name: `arrows-of-${room}`,
      comment: `${room} may use only: ${arrows[room].join(', ') || 'nothing'}`,
      severity: 'error',
      from: { path: `^packages/${room}/src/`, pathNot: '\\.test\\.tsx?$' },
      to: {
        path: '^(packages|app|cli|bench|data|tools)/',
        pathNot: inRoom([room, ...arrows[room]]),
      },
    })),
    {
      name: 'oracle-and-gallery-are-for-tests',
      severity: 'error',
      from: { path: '^(packages/[^/]+/src|app/src|cli/src)/', pathNot: '\\.test\\.tsx?$' },
      to: { path: '^packages/[^/]+/(oracle|gallery)/' },
    },
    {
      name: 'programs-never-meet',
      severity: 'error',
      from: { path: '^app/' },
      to: { path: '^cli/' },
    },
    {
      name: 'programs-never-meet-cli',
      severity: 'error',
      from: { path: '^cli/' },
      to: { path: '^app/' },
    },
    {
      name: 'one-door-a-room',
      severity: 'error',
      from: { path: '^(packages/([^/]+)|app|cli)/', pathNot: '\\.test\\.tsx?$' },
      to: {
        path: '^packages/([^/]+)/src/',
        // The sheets have a door of their own: their PDF writer is loaded only to print.
        pathNot: ['^packages/[^/]+/src/(sheets/)?index\\.ts$', '^packages/$2/'],
      },
    },
    {
      name: 'no-node-in-rooms',
      severity: 'error',
      from: { path: '^packages/[^/]+/src/', pathNot: '\\.test\\.tsx?$' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'no-undeclared',
      severity: 'error',
      from: {
        path: '^(packages|app|cli)/',
        pathNot: '(\\.test\\.tsx?$|^app/e2e/|^app/vite\\.config|/gallery/|/kernel/)',
      },
      to: { dependencyTypes: ['npm-no-pkg', 'npm-unknown'] },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '(^|/)dist/|node_modules/\\.cache' },
    tsPreCompilationDeps: true,
    combinedDependencies: false,
    tsConfig: { fileName: 'tsconfig.base.json' },
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'default'] },
  },
};
