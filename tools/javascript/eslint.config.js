/* The linter of the pages' scripts. That a name exists the types tell, which also know what is laid down by the build. */
import recommended from "@eslint/js";

export default [
  recommended.configs.recommended,
  {
    files: ["**/*.js"],
    languageOptions: { ecmaVersion: 2020, sourceType: "script" },
    rules: {
      "no-undef": "off",
      /* What somebody typed is cleaned of control letters. */
      "no-control-regex": "off",
      "no-unused-vars": ["error", { args: "after-used", argsIgnorePattern: "^_", caughtErrors: "none" }],
      "curly": "error",
      "eqeqeq": "error",
      "no-eval": "error",
      "no-implied-eval": "error",
      "no-implicit-globals": "error",
      "no-useless-return": "error",
      "no-self-compare": "error",
      "no-template-curly-in-string": "error",
      "no-throw-literal": "error",
      "no-unneeded-ternary": "error",
      "no-useless-concat": "error",
      "radix": ["error", "always"],
      "strict": ["error", "function"],
    },
  },
  {
    /* A worker is a file of its own, where nothing is shared. */
    files: ["**/workers/*.js"],
    rules: { "strict": ["error", "global"], "no-implicit-globals": "off" },
  },
];
