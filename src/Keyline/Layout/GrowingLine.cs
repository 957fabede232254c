using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Layout;

/// <summary>A line that may grow at its ends and be joined with others.</summary>
internal sealed class GrowingLine
{
    private const double Reach = 4;

    public GrowingLine(int order, IEnumerable<Coordinate> at, bool isClosed)
    {
        Order = order;
        Members = order >= 0 ? [order] : [];
        At = [.. at];
        IsClosed = isClosed;
    }

    /// <summary>Place of the first of its members among the lines; -1 for a new line.</summary>
    public int Order { get; private set; }

    /// <summary>The lines it is made of, by their places.</summary>
    public List<int> Members { get; }

    /// <summary>Its course, in the direction of the first of its members unless it is turned.</summary>
    public List<Coordinate> At { get; private set; }

    public bool IsClosed { get; }

    public bool IsTurned { get; private set; }

    /// <summary>Length gained, metres.</summary>
    public double Gained { get; set; }

    public bool IsChanged => Gained > 0 || Members.Count > 1;

    /// <summary>Where it ends, and the direction out of it there.</summary>
    public (XY Place, XY Out) End(bool last)
    {
        Coordinate end = last ? At[^1] : At[0];
        XY place = new(end.X, end.Y);

        // Over some metres, for the last chord may be of a millimetre.
        for (int k = 1; k < At.Count; k++)
        {
            Coordinate back = last ? At[^(k + 1)] : At[k];
            XY outward = place - new XY(back.X, back.Y);
            if (outward.Norm >= Reach || k == At.Count - 1)
            {
                return (place, outward.Unit());
            }
        }

        return (place, new XY(1, 0));
    }

    public void Turn()
    {
        At.Reverse();
        IsTurned = !IsTurned;
    }

    /// <summary>Puts a course on its last end, and another line behind that; it keeps the name and direction of whichever comes first.</summary>
    public void Append(IEnumerable<Coordinate> course, GrowingLine? other)
    {
        At.AddRange(course);
        if (other is null)
        {
            return;
        }

        At.AddRange(other.At);
        if (other.Order < Order)
        {
            (Order, IsTurned) = (other.Order, other.IsTurned);
        }

        Members.AddRange(other.Members);
        Gained += other.Gained;
    }

    /// <summary>The course in the direction it had.</summary>
    public Coordinate[] Drawn() => IsTurned ? [.. Enumerable.Reverse(At)] : [.. At];
}

/// <summary>A place where a line ends and may grow.</summary>
/// <param name="Line">The line.</param>
/// <param name="Last">Whether it is its last end.</param>
internal sealed record GrowingEnd(GrowingLine Line, bool Last);
