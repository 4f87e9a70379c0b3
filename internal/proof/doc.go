// Package proof holds tests of the whole program: a real library, the real
// server, real footage, and the desk in a real browser, worked by its keys.
// What one package does by itself is tested beside that package.
package proof
