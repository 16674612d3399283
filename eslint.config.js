import { readdirSync } from 'node:fs';
import tseslint from 'typescript-eslint';

const tests = [
  '**/*.test.ts',
  '**/*.test.tsx',
  'app/e2e/**',
  'packages/*/gallery/**',
  'packages/*/oracle/**',
  'cli/test/**',
  'docs/**',
  'bench/**',
  'data/**',
  'tools/**',
];

// Each room is linted by its own program: a room read through another's would be held to the
// other's compiler settings.
const rooms = readdirSync('packages').map((room) => ({
  files: [`packages/${room}/src/**/*.ts`, `packages/${room}/src/**/*.tsx`],
  ignores: ['**/*.test.ts', '**/*.test.tsx'],
  languageOptions: { parserOptions: { project: [`./packages/${room}/tsconfig.json`] } },
}));

// One configuration for every room. What the rooms may not touch (clock, chance, console, network)
// is banned here as well as by their compiler settings, so a slip is caught with a sentence.
export default tseslint.config(
  {
    ignores: [
      '**/dist/**',
      '**/node_modules/**',
      '**/*.js',
      '**/*.mjs',
      '**/*.cjs',
      'app/dev-dist/**',
      '**/generated/**',
    ],
  },
  {
    files: ['**/*.ts', '**/*.tsx'],
    extends: [tseslint.configs.strictTypeChecked],
    languageOptions: {
      parserOptions: {
        project: [
          './packages/*/tsconfig.json',
          './app/tsconfig.json',
          './cli/tsconfig.json',
          './tsconfig.tests.json',
        ],
        tsconfigRootDir: import.meta.dirname,
      },
    },
    rules: {
      '@typescript-eslint/restrict-template-expressions': [
        'error',
        { allowNumber: true, allowBoolean: true },
      ],
      '@typescript-eslint/consistent-type-definitions': ['error', 'type'],
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-confusing-void-expression': ['error', { ignoreArrowShorthand: true }],
      '@typescript-eslint/no-unnecessary-condition': [
        'error',
        { allowConstantLoopConditions: 'only-allowed-literals' },
      ],
      'max-lines': ['error', { max: 400, skipBlankLines: true, skipComments: true }],
      'max-lines-per-function': ['error', { max: 60, skipBlankLines: true, skipComments: true }],
      'max-params': ['error', 5],
      'no-restricted-syntax': [
        'error',
        { selector: 'ExportDefaultDeclaration', message: 'Named exports only.' },
        { selector: 'TSEnumDeclaration', message: 'Use a union of string literals.' },
      ],
      eqeqeq: 'error',
      'prefer-const': 'error',
      'no-proto': 'error',
    },
  },
  ...rooms,
  {
    files: ['packages/*/src/**/*.ts', 'packages/*/src/**/*.tsx'],
    ignores: tests,
    rules: {
      'no-console': 'error',
      'no-restricted-properties': [
        'error',
        {
          object: 'Date',
          property: 'now',
          message: 'Rooms have no clock: take the day as an argument.',
        },
        {
          object: 'Math',
          property: 'random',
          message: 'Rooms have no chance of their own: take a seeded generator.',
        },
      ],
      'no-restricted-globals': [
        'error',
        'process',
        'fetch',
        'document',
        'window',
        'setTimeout',
        'require',
      ],
      'no-restricted-syntax': [
        'error',
        { selector: 'ExportDefaultDeclaration', message: 'Named exports only.' },
        { selector: 'TSEnumDeclaration', message: 'Use a union of string literals.' },
        {
          selector: "NewExpression[callee.name='Date'][arguments.length=0]",
          message: 'Rooms have no clock: take the day as an argument.',
        },
        {
          selector: 'ImportDeclaration[source.value=/^@fairbed\\/[a-z]+\\//]',
          message: 'Enter another room by its index.ts only.',
        },
      ],
    },
  },
  {
    files: ['**/*.tsx'],
    rules: {
      'max-lines-per-function': ['error', { max: 120, skipBlankLines: true, skipComments: true }],
    },
  },
  {
    files: tests,
    rules: {
      'max-lines-per-function': 'off',
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-call': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
      'no-console': 'off',
    },
  },
  {
    files: ['**/*.config.ts', 'app/vite.config.ts'],
    rules: { 'no-restricted-syntax': 'off' },
  },
);
