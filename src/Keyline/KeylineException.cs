namespace Keyline;

/// <summary>The root of every error this library raises about data, as against a wrong call.</summary>
/// <remarks>
/// Its message is one sentence or two for the person who supplied the data: what is wrong, where, and how to mend it.
/// A wrong call (a null, a negative option) raises an ordinary <see cref="ArgumentException"/> instead.
/// </remarks>
public abstract class KeylineException : Exception
{
    private protected KeylineException(string message)
        : base(message)
    {
    }

    private protected KeylineException(string message, Exception inner)
        : base(message, inner)
    {
    }
}

/// <summary>Ground or field data that the job cannot be done with.</summary>
public sealed class GroundDataException : KeylineException
{
    /// <summary>Makes the error from the sentence shown to the user.</summary>
    /// <param name="message">What is wrong, where, and how to mend it.</param>
    public GroundDataException(string message)
        : base(message)
    {
    }

    /// <summary>Makes the error from the sentence shown to the user and the error that led to it.</summary>
    /// <param name="message">What is wrong, where, and how to mend it.</param>
    /// <param name="inner">The error beneath.</param>
    public GroundDataException(string message, Exception inner)
        : base(message, inner)
    {
    }

    /// <value>What stands in the way, so that a program can try another reader. Default: the data itself.</value>
    public GroundDataFault Fault { get; init; }
}

/// <summary>What stands in the way of using data.</summary>
public enum GroundDataFault
{
    /// <summary>The data: damaged, contradictory, not enough, or not of the place.</summary>
    Data,

    /// <summary>A format, or a way of storing it, that is not read here though others may read it.</summary>
    Format,

    /// <summary>A coordinate system that cannot be worked in here though others may know it.</summary>
    CoordinateSystem,
}
