import js from '@eslint/js';
import lit from 'eslint-plugin-lit';
import tseslint from 'typescript-eslint';

export default tseslint.config(
  { ignores: ['dist/', '.cache/', 'node_modules/', '**/*.js', '**/*.cjs'] },
  js.configs.recommended,
  tseslint.configs.strictTypeChecked,
  tseslint.configs.stylisticTypeChecked,
  lit.configs['flat/recommended'],
  {
    languageOptions: {
      parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname },
    },
    rules: {
      // A lost promise is a lost reading: the one rule that matters most here.
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      // Numbers read well in messages as they are.
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      // Indexing typed arrays inside checked loops: `!` says "in range by construction".
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/no-confusing-void-expression': ['error', { ignoreArrowShorthand: true }],
      '@typescript-eslint/consistent-type-definitions': 'off',
      '@typescript-eslint/prefer-for-of': 'off',
      // Colour science writes L, a, b, X, Y, Z, K, S: the paper's symbols stay.
      'no-console': ['error', { allow: ['error', 'warn'] }],
    },
  },
  {
    files: ['src/colour/**', 'src/reading/**', 'src/paint/**', 'src/job/**'],
    rules: {
      // The core has no clock and no randomness of its own: they are passed in.
      'no-restricted-properties': [
        'error',
        { object: 'Date', property: 'now', message: 'pass the time in' },
        { object: 'Math', property: 'random', message: 'pass the randomness in' },
        { object: 'performance', property: 'now', message: 'pass the time in' },
      ],
    },
  },
  {
    files: ['src/headless/**', 'calibration-samples/**', 'tests/**'],
    rules: { 'no-console': 'off' },
  },
);
