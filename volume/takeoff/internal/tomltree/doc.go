// Package tomltree reads TOML into a tree in which every key and every value
// knows its line and column, so that an error about the meaning of a value can
// point at it as well as an error of syntax can.
//
// It does not know any key: [barrow/volume/takeoff] gives the tree its
// meaning. Start at [Parse].
package tomltree
