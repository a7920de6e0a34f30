// Package boxtree finds, among many boxes in plan, those that meet another.
package boxtree
