// Package admission decides how much work is done at the same time, and who waits for it.
//
// A [Gate] has a capacity; every piece of work has a weight, about the milliseconds of one
// processor that it will take. While there is room work begins at once. Otherwise it queues,
// in the order of arrival, and is refused when it has waited too long. How long that is
// depends on the queue: in a rush that passes, work waits as long as Patience; where the
// queue has not been empty for Rush, more comes in than can be done, waiting helps nobody,
// and work waits no longer than Stretch times what it will take itself. So whoever is
// served under overload is served about as fast as ever, and the rest learn at once that
// they should come back later (this is controlled delay, as in RFC 8289, for requests).
package admission
