using Keyline.Planar;

namespace Keyline.Fieldwork;

/// <summary>How a tractor comes from one line to the next.</summary>
public enum RowChangeKind
{
    /// <summary>Forward all the way.</summary>
    Forward,

    /// <summary>With one stretch backward.</summary>
    Reversing,

    /// <summary>A way round what lies between, found over free ground.</summary>
    Link,
}

/// <summary>The way from the end of one line to the start of the next, implement lifted.</summary>
/// <remarks>Units: metres, seconds.</remarks>
public sealed class RowChange
{
    internal RowChange(TurnPath way, RowChangeKind kind, double seconds, (double X, double Y)? taken) => (Way, Kind, Seconds, Taken) = (way, kind, seconds, taken);

    /// <summary>The way of the rear axle's middle, from where the shanks leave the line to where they are let down.</summary>
    public TurnPath Way { get; }

    /// <summary>How it is driven.</summary>
    public RowChangeKind Kind { get; }

    /// <summary>Driving time, seconds; lifting and lowering come besides.</summary>
    public double Seconds { get; }

    /// <summary>The first place where the machine would leave the field or touch what is avoided; null where the way fits.</summary>
    public (double X, double Y)? Taken { get; }

    /// <summary>Whether the machine stays in the field and off what is avoided.</summary>
    public bool Fits => Taken is null;
}
