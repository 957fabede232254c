namespace Keyline.Fieldwork;

/// <summary>What can be wrong with the way from line to line.</summary>
public enum WorkFindingKind
{
    /// <summary>No way from one line to the next keeps the machine in the field and off what is avoided.</summary>
    TurnDoesNotFit,

    /// <summary>The machine turns on land steeper than is worked.</summary>
    TurnOnSteepLand,

    /// <summary>The tractor does not pull the implement.</summary>
    NotPulled,
}

/// <summary>One thing found wrong with the work, with its place.</summary>
/// <param name="Kind">What is wrong.</param>
/// <param name="From">The line that is left; empty where none is.</param>
/// <param name="To">The line that is entered; empty where none is.</param>
/// <param name="X">Where, metres east.</param>
/// <param name="Y">Where, metres north.</param>
/// <param name="Sentence">One sentence for the driver.</param>
public sealed record WorkFinding(WorkFindingKind Kind, string From, string To, double X, double Y, string Sentence);
